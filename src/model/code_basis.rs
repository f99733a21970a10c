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

/// What a source says of a code, in place of what it says of all: of `IRC P2903.4; IPC 607.3` the second for the IPC. Where it
/// has nothing of that code it stays whole: it is still where the figure is from.
pub fn cited_for(source: &str, code: &str) -> String {
    let code_of = |part: &str| CODES.iter().find(|code| part.strip_prefix(**code).is_some_and(|p| p.starts_with(' ')));
    let parts = || source.split("; ");
    if !parts().any(|part| code_of(part).is_some_and(|own| *own == code)) {
        return source.to_owned();
    }
    parts().filter(|part| code_of(part).is_none_or(|own| *own == code)).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_is_cited_for_the_code_of_the_job() {
        let source = "IRC P2903.4; IPC 607.3 (from memory); a handbook";
        assert_eq!(cited_for(source, "IRC"), "IRC P2903.4; a handbook");
        assert_eq!(cited_for(source, "IPC"), "IPC 607.3 (from memory); a handbook");
        assert_eq!(cited_for(source, "UPC"), source);
        assert_eq!(cited_for("IPC2 and other words", "IPC"), "IPC2 and other words");
    }

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
