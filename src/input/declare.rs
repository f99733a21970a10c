//! The macro that declares a sheet of rows.

/// Declares a sheet of the job workbook: its row as a struct, its columns, and how a row is read and looked through.
///
/// ```text
/// sheet! {
///     /// What has come to the site of one thing.
///     Received = sheet("Received", &["Deliveries"], "delivery", "What has come to the site.");
///
///     kind: Name = column("Kind", &["Item"], "As in Prices.");
///     received: Positive = column("Received", &["Delivered"], "How many have come.").needed();
/// }
/// ```
///
/// A field is of a column type, which says what its cells may hold, what is made of them and what reads them live
/// ([`super::ColumnType`]); its column says the rest. The order is that of the columns in a blank workbook. Place the row
/// type in the list in `job.rs`, or its `SHEET` among those of a subject, and the sheet is read, decorated, checked, recorded and compared.
macro_rules! sheet {
    (
        $(#[$about:meta])*
        $row:ident = $sheet:expr;
        $($(#[$field_about:meta])* $field:ident: $kind:ty = $column:expr;)+
    ) => {
        $(#[$about])*
        #[derive(Debug, Clone)]
        #[allow(unreachable_pub, reason = "a subject keeps its rows to itself")]
        pub struct $row {
            /// Counted from 0, as in [`crate::place::Place`].
            pub row: u32,
            $(
                $(#[$field_about])*
                #[doc = concat!("\n`", stringify!($column), "`")]
                pub $field: <$kind as $crate::input::ColumnType>::Cell,
            )+
        }

        #[allow(unreachable_pub, reason = "a subject keeps its rows to itself")]
        impl $row {
            /// The sheet as declared: its names, its help, its columns.
            pub const SHEET: $crate::input::Sheet = $sheet.with(&[$($column.of::<$kind>()),+]).read_by(|cells, sink| {
                Self::read(cells, sink).map(|row| std::sync::Arc::new(row) as std::sync::Arc<dyn $crate::input::Row>)
            });

            /// Reads a row; without its name there is none.
            pub(crate) fn read(cells: &$crate::input::Cells, sink: &mut $crate::finding::Sink) -> Option<Self> {
                let mut next = 0..;
                Some(Self {
                    row: cells.row,
                    $($field: <$kind as $crate::input::ColumnType>::read(cells, next.next()?, sink)?,)+
                })
            }
        }

        impl $crate::input::Row for $row {
            fn sheet(&self) -> &'static $crate::input::Sheet {
                &Self::SHEET
            }

            fn row(&self) -> u32 {
                self.row
            }

            fn cells(&self) -> Vec<&dyn $crate::input::InputCell> {
                vec![$(&self.$field),+]
            }
        }
    };
}

pub(crate) use sheet;
