//! How an operation is written over its operands, and how tightly what is written holds together.

/// How tightly a spelled expression holds together; a looser one inside a tighter one needs parentheses.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Strength {
    /// `=`, `>`, `>=`.
    Compare,
    /// `&`.
    Join,
    /// `+` and `-`.
    Add,
    /// `*` and `/`.
    Multiply,
    /// A value, a reference or a call: never in parentheses.
    Atom,
}

/// How an operation is written over its operands.
#[derive(Debug, Clone, Copy)]
pub enum Spelling {
    /// `NAME(a,b,c)`.
    Call(&'static str),
    /// All operands with `&` between them.
    Joined,
    /// Text with operands in it.
    Pieces(&'static [Piece]),
}

/// A piece of a formula.
#[derive(Debug, Clone, Copy)]
pub enum Piece {
    /// Text as it is.
    Text(&'static str),
    /// This operand, as it is.
    Raw(usize),
    /// This operand, in parentheses where it holds together less tightly.
    Held(usize, Strength),
    /// The decimals that the operation names.
    Digits,
    /// As many zeros.
    Zeros,
}
