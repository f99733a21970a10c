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

/// As much of a text as takes no more than `longest` UTF-16 units, which is how spreadsheet files count characters.
pub(crate) fn shortened(text: &str, longest: usize) -> String {
    let mut units = 0;
    let fits = |c: &char| {
        units += c.len_utf16();
        units <= longest
    };
    text.chars().take_while(fits).collect()
}

/// A kind of thing that goes by a word.
pub(crate) trait Worded: Copy + 'static {
    /// As cells and tables write it.
    fn word(self) -> &'static str;
    /// The kind of this word, however it is written.
    fn from_name(word: &str) -> Option<Self>;
}

/// Declares kinds that go by a word each: the enum, `ALL` and their `WORDS` in the order of the declaration, `word` and
/// `from_name`.
macro_rules! worded {
    ($(#[$about:meta])* $vis:vis enum $name:ident { $($(#[$of:meta])* $kind:ident = $word:literal,)+ }) => {
        $(#[$about])*
        $vis enum $name { $($(#[$of])* $kind,)+ }

        #[allow(dead_code, reason = "each kind of thing has use for some of these")]
        impl $name {
            /// The words, in order.
            $vis const WORDS: &'static [&'static str] = &[$($word),+];
            /// All of them, in order.
            $vis const ALL: [Self; Self::WORDS.len()] = [$(Self::$kind),+];

            /// As cells and tables write it.
            $vis fn word(self) -> &'static str {
                match self { $(Self::$kind => $word,)+ }
            }

            /// The kind of this word, however it is written.
            $vis fn from_name(word: &str) -> Option<Self> {
                Self::ALL.into_iter().find(|kind| $crate::folding::same_folded(kind.word(), word))
            }
        }

        impl $crate::folding::Worded for $name {
            fn word(self) -> &'static str {
                self.word()
            }

            fn from_name(word: &str) -> Option<Self> {
                Self::from_name(word)
            }
        }
    };
}

pub(crate) use worded;
