//! Orders that suppliers filled in, read back: every answer at its key wherever its row has gone, nothing guessed, prices
//! compared to the cent, and the job workbook with the quoted prices in it.

mod support;

#[path = "support/program.rs"]
mod program;
#[path = "support/schema.rs"]
mod schema;

#[path = "quotes/compared.rs"]
mod compared;
#[path = "quotes/filled.rs"]
mod filled;
#[path = "quotes/hostile.rs"]
mod hostile;
#[path = "quotes/job.rs"]
mod job;
