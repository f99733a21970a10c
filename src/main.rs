//! The program: what was typed becomes a command, the command runs, and how it ended becomes the exit code.

#![warn(clippy::too_many_lines)]

mod cli;

use clap::Parser;
use std::io::{self, Write};
use std::process::ExitCode;
use tallybore::commands::{self, Terminal};

fn main() -> ExitCode {
    let command = cli::Cli::parse().into();
    tallybore::write::clear_when_interrupted();
    let mut out = io::BufWriter::new(io::stdout().lock());
    let mut err = io::stderr().lock();
    let exit = commands::run(&command, &mut Terminal { out: &mut out, err: &mut err });
    // What could be flushed has been; a reader that went away must not turn into a panic when the buffer is dropped.
    drop(out.into_parts());
    let _ = err.flush();
    exit.into()
}
