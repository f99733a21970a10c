//! A look for a sheet by its name: the one thing that a formula can learn of a sheet that is added later.

use super::Value;
use super::spelling::{Piece, Strength};

/// `there` or `none`. Which of them holds when the bid is written is known to whoever asks.
pub(super) fn value(there: bool) -> Value {
    Value::text(if there { "there" } else { "none" })
}

/// How the look is spelled over the name. What the cell holds is not asked: it may be an error of the user's. (ROWS of a
/// reference that is none is 1 in one program; ROW is an error in all.)
pub(super) const PIECES: &[Piece] = &[
    Piece::Text("IF(ISERROR(ROW(INDIRECT(\"'\"&"),
    Piece::Held(0, Strength::Join),
    Piece::Text("&\"'!A1\"))),\"none\",\"there\")"),
];
