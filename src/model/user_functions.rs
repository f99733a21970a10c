//! The functions that a formula of the user's may use and still stand in the bid: one list for whoever reads and whoever writes.

/// Functions that the supported programs work out alike. None of them looks at the clock, at chance, or at cells that
/// are named by a text.
const FUNCTIONS: &[&str] = &[
    "ABS",
    "AND",
    "AVERAGE",
    "CEILING",
    "CHOOSE",
    "COLUMN",
    "COLUMNS",
    "CONCAT",
    "CONCATENATE",
    "COUNT",
    "COUNTA",
    "COUNTBLANK",
    "COUNTIF",
    "COUNTIFS",
    "DATE",
    "DAY",
    "EVEN",
    "EXACT",
    "EXP",
    "FALSE",
    "FIND",
    "FLOOR",
    "HLOOKUP",
    "IF",
    "IFERROR",
    "IFNA",
    "IFS",
    "INDEX",
    "INT",
    "ISBLANK",
    "ISNUMBER",
    "ISTEXT",
    "LARGE",
    "LEFT",
    "LEN",
    "LN",
    "LOG10",
    "LOOKUP",
    "LOWER",
    "MATCH",
    "MAX",
    "MAXIFS",
    "MEDIAN",
    "MID",
    "MIN",
    "MINIFS",
    "MOD",
    "MONTH",
    "MROUND",
    "N",
    "NOT",
    "ODD",
    "OR",
    "PI",
    "POWER",
    "PRODUCT",
    "PROPER",
    "QUOTIENT",
    "REPT",
    "RIGHT",
    "ROUND",
    "ROUNDDOWN",
    "ROUNDUP",
    "ROW",
    "ROWS",
    "SEARCH",
    "SMALL",
    "SQRT",
    "SUBSTITUTE",
    "SUBTOTAL",
    "SUM",
    "SUMIF",
    "SUMIFS",
    "SUMPRODUCT",
    "SWITCH",
    "T",
    "TEXT",
    "TEXTJOIN",
    "TRIM",
    "TRUE",
    "TRUNC",
    "UPPER",
    "VALUE",
    "VLOOKUP",
    "YEAR",
];

/// Of these the ones that are newer than the file format, and bear its mark there.
const NEWER: &[&str] = &["CONCAT", "IFNA", "IFS", "MAXIFS", "MINIFS", "SWITCH", "TEXTJOIN"];
const MARK: &str = "_xlfn.";

/// Whether a function may stand in the bid, with the format's mark or without.
pub(crate) fn may_stand(name: &str) -> bool {
    let name = name.to_ascii_uppercase();
    let bare = name.strip_prefix(&MARK.to_ascii_uppercase()).unwrap_or(&name);
    FUNCTIONS.contains(&bare)
}

/// Whether a function is written as its name alone though the format wants its mark before it.
pub(crate) fn wants_mark(name: &str) -> bool {
    NEWER.contains(&name.to_ascii_uppercase().as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_function_stands_or_it_does_not_whatever_its_spelling() {
        for name in ["SUM", "sum", "SWITCH", "_xlfn.SWITCH", "_XLFN.ifs"] {
            assert!(may_stand(name), "{name}");
        }
        for name in ["TODAY", "_xlfn.XLOOKUP", "LET", "INDIRECT", "_xlws.FILTER", ""] {
            assert!(!may_stand(name), "{name}");
        }
        assert!(NEWER.iter().all(|name| may_stand(name)));
    }
}
