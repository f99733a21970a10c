//! Words as headings, names and choices are compared: case, spaces and punctuation folded.

/// Lower case, spaces and punctuation folded: how headings, names and choices are compared.
pub fn fold(text: &str) -> String {
    if text.is_ascii() {
        // By far the most texts; byte by byte is several times faster.
        let mut folded = String::with_capacity(text.len());
        folded.extend(folded_bytes(text).map(char::from));
        return folded;
    }
    text.chars().filter(|c| c.is_alphanumeric() || *c == '/').flat_map(char::to_lowercase).collect()
}

/// Whether two words fold to the same; most differ, and no copy is made to see that.
pub fn same_folded(a: &str, b: &str) -> bool {
    if !(a.is_ascii() && b.is_ascii()) {
        return fold(a) == fold(b);
    }
    folded_bytes(a).eq(folded_bytes(b))
}

/// What [`fold`] keeps of a text of ASCII letters, byte by byte.
pub fn folded_bytes(ascii: &str) -> impl Iterator<Item = u8> {
    ascii.bytes().filter(|b| b.is_ascii_alphanumeric() || *b == b'/').map(|b| b.to_ascii_lowercase())
}
