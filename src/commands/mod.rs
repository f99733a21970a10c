//! The commands, one file each: options in, files and a report out. Nothing here knows how options were typed.
//!
//! Results go to standard output, findings and troubles to standard error. How a command ends is an [`Exit`].

pub mod about;
pub mod all_findings;
mod alternates;
pub mod check;
mod document;
pub(crate) mod findings;
mod job;
mod missing;
pub mod order;
pub mod price;
pub mod quotes;
pub mod revise;
pub mod rules;
pub(crate) mod set;
pub mod start;
mod terminal;
pub mod trace;

pub use job::Given;
pub use terminal::Terminal;

use std::fmt;
use std::io;
use std::process::ExitCode;

/// One command with its options.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Write a job workbook to begin with.
    Start(start::Options),
    /// Say what pricing would find.
    Check(check::Options),
    /// Price job workbooks.
    Price(price::Options),
    /// Hold a changed job against what was bid.
    Revise(revise::Options),
    /// Write supplier orders.
    Order(order::Options),
    /// Read filled orders back.
    Quotes(quotes::Options),
    /// List the rule tables.
    Rules(rules::Options),
    /// Follow a figure of a bid to where it came from.
    Trace(trace::Options),
}

/// How a command ended; the worst last. The numbers are the exit codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// All that was asked for is done.
    Done = 0,
    /// Findings stop the bid.
    Stopped = 1,
    /// The command was not typed as it must be.
    Usage = 2,
    /// A file could not be read or written, or the system refused.
    System = 3,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit as u8)
    }
}

/// What keeps a command from its work, other than findings: told in a line or two on standard error.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// The exit code it leads to, [`Exit::Usage`] or [`Exit::System`].
    pub exit: Exit,
    /// For standard error, as they are.
    pub words: String,
}

impl Trouble {
    fn usage(words: impl fmt::Display) -> Self {
        Self { exit: Exit::Usage, words: words.to_string() }
    }

    fn system(words: impl fmt::Display) -> Self {
        Self { exit: Exit::System, words: words.to_string() }
    }
}

/// Runs a command and says how it ended. A reader that stops reading (`| head`) is no trouble.
pub fn run(command: &Command, terminal: &mut Terminal) -> Exit {
    let ended = match command {
        Command::Start(options) => start::run(options, terminal),
        Command::Check(options) => check::run(options, terminal),
        Command::Price(options) => price::run(options, terminal),
        Command::Revise(options) => revise::run(options, terminal),
        Command::Order(options) => order::run(options, terminal),
        Command::Quotes(options) => quotes::run(options, terminal),
        Command::Rules(options) => rules::run(options, terminal),
        Command::Trace(options) => trace::run(options, terminal),
    };
    match ended.and_then(|exit| terminal.flush().map(|()| exit)) {
        Ok(exit) => exit,
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Done,
        Err(_) => Exit::System,
    }
}
