//! Orders: what is bought, as one order for each supplier, fit to be filled in at a counter.
//!
//! In: the job, the rule tables, the take-off, the purchases. Out: [`Orders`]: for each supplier the lines, and a book with
//! the sheet they stand on; and findings. Never: what anything costs us, hours, or a line that the purchases do not hold.
//!
//! # The form
//! What a program may rely on when it reads an order back is declared in [`crate::model::order_form`]: the sheet `Order`,
//! the document property `tallybore-order` (the version of the form) and those beside it (order number, job, revision,
//! supplier, phases), the labels of the head, the headings of the lines, which cells the supplier fills, and the key of a
//! line. In short:
//!
//! - *A line* is one row of Prices of which something is bought (or, with a color for each water, that much of it for cold
//!   or for hot); or a thing that the job needs and nobody has priced, whose state is `quote`.
//! - *Its key* is `kind|material|sizes|unit pack`, then `|cold` or `|hot` where pipe has a color for each, then `|no. 2` where
//!   a supplier has a second row for the same thing in the same packs. Keys do not depend on prices.
//! - *Filled by the supplier:* in the head Quoted by, Quote valid until, Delivery or trip charge; in a line Price of one
//!   Unit, Available, Substitute part no., Remark. All other cells are locked.
//! - *The same lines as CSV* stand in a file of the same name beside the workbook, the same headings with Order number and
//!   Supplier before them.
