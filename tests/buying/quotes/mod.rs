//! Orders that suppliers filled in, read back: every answer at its key wherever its row has gone, nothing guessed, prices
//! compared to the cent, and the job workbook with the quoted prices in it.

mod compared;
mod filled;
mod hostile;
mod job;
