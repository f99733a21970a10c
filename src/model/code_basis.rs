//! The plumbing code that a job goes by, and its edition: `IRC`, `IPC 2018`, `2021 UPC`.

/// The codes whose tables there are.
pub const CODES: &[&str] = &["IRC", "IPC", "UPC"];

/// Their full names.
const NAMES: &[&str] = &["internationalresidentialcode", "internationalplumbingcode", "uniformplumbingcode"];

/// The code and its edition; `None` where the text says anything else.
pub fn split_code_basis(text: &str) -> Option<(&'static str, Option<u16>)> {
    let folded = super::fold(text).replace("edition", "");
    let (letters, digits): (String, String) = folded.chars().partition(|c| !c.is_ascii_digit());
    let at = (0..CODES.len()).find(|at| super::fold(CODES[*at]) == letters || NAMES[*at] == letters)?;
    // The digits stand together, before the name or after it.
    if !folded.contains(&digits) {
        return None;
    }
    match digits.as_str() {
        "" => Some((CODES[at], None)),
        digits => {
            let year = digits.parse().ok().filter(|year| (1990..2100).contains(year))?;
            Some((CODES[at], Some(year)))
        }
    }
}

/// The same in our own spelling: `IRC 2021`.
pub fn code_basis(text: &str) -> Option<String> {
    let (code, edition) = split_code_basis(text)?;
    Some(edition.map_or_else(|| code.to_owned(), |year| format!("{code} {year}")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_with_its_edition() {
        for (text, read) in [
            ("IRC", "IRC"),
            ("ipc", "IPC"),
            ("IRC 2021", "IRC 2021"),
            ("2018 UPC", "UPC 2018"),
            ("IPC-2015", "IPC 2015"),
            ("2021 International Residential Code", "IRC 2021"),
            ("UPC, 2021 edition", "UPC 2021"),
        ] {
            assert_eq!(code_basis(text).as_deref(), Some(read), "{text}");
        }
        for text in ["", "IBC", "IRC 21", "Minnesota 2020", "IRC 3021", "IRC IPC"] {
            assert_eq!(code_basis(text), None, "{text}");
        }
    }
}
