//! A look for a sheet by its name: the one thing that a formula can learn of a sheet that is added later.

use super::Value;
use super::functions::{Piece, Strength};

/// `there` or `none`. Which of them holds when the bid is written is known to whoever asks.
pub(super) fn value(there: bool) -> Value {
    Value::text(if there { "there" } else { "none" })
}

/// How the look is spelled over the name. The cell itself is not looked at: it may hold an error of the user's.
pub(super) const PIECES: &[Piece] = &[
    Piece::Text("IF(ISERROR(ROWS(INDIRECT(\"'\"&"),
    Piece::Held(0, Strength::Join),
    Piece::Text("&\"'!A1\"))),\"none\",\"there\")"),
];
