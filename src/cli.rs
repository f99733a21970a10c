//! What can be typed, and nothing else: no file is touched here and no meaning given.

use clap::{Args, Parser, Subcommand};
use std::path::PathBuf;
use tallybore::commands::{Command, Given, check, order, price, quotes, revise, rules, start, trace};

const EXIT_CODES: &str = "\
Exit codes:
  0  done
  1  findings stop the bid
  2  the command was not typed as it must be
  3  a file could not be read or written, or the system refused";

/// Reads a plumbing job workbook and writes a priced bid workbook whose every figure is a live formula.
#[derive(Debug, Parser)]
#[command(name = "tallybore", bin_name = "tallybore", version, after_help = EXIT_CODES, arg_required_else_help = true)]
pub struct Cli {
    #[command(subcommand)]
    command: Typed,
}

#[derive(Debug, Subcommand)]
enum Typed {
    /// Write a job workbook to begin with
    #[command(after_help = EXIT_CODES)]
    Start(Start),
    /// Say what is wrong with job workbooks; writes nothing
    #[command(after_help = EXIT_CODES)]
    Check(Check),
    /// Price job workbooks: each gets its bid workbook
    #[command(after_help = EXIT_CODES)]
    Price(Price),
    /// Say what a change does to a bid, and write the new revision
    #[command(after_help = EXIT_CODES)]
    Revise(Revise),
    /// Write an order for each supplier
    #[command(after_help = EXIT_CODES)]
    Order(Order),
    /// Read orders that suppliers have filled in: prices side by side, and the job with them
    #[command(after_help = EXIT_CODES)]
    Quotes(Quotes),
    /// Show the rule tables, and where each row comes from
    #[command(after_help = EXIT_CODES)]
    Rules(Rules),
    /// Follow one figure of a bid down to what it rests on
    #[command(after_help = EXIT_CODES)]
    Trace(Trace),
}

#[derive(Debug, Args)]
struct Start {
    /// A filled-in job to look at and to price
    #[arg(long, conflicts_with = "from_text")]
    sample: bool,
    /// Make it from a job in readable text
    #[arg(long, value_name = "FILE")]
    from_text: Option<PathBuf>,
    /// The workbook to write [default: job.xlsx, job-sample.xlsx, or the text's name with .xlsx]
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over a file that is there
    #[arg(long)]
    replace: bool,
}

#[derive(Debug, Args)]
struct Both {
    /// A Job setting for this run, such as "Tax rate=7%"; may be given again for others
    #[arg(long = "set", value_name = "NAME=VALUE")]
    set: Vec<String>,
    /// A folder of rule tables whose rows go before the built-in ones
    #[arg(long, value_name = "DIR")]
    rules: Option<PathBuf>,
}

#[derive(Debug, Args)]
struct Check {
    /// Job or bid workbooks, .xlsx or .ods
    #[arg(required = true, value_name = "BOOK")]
    books: Vec<PathBuf>,
    #[command(flatten)]
    both: Both,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct Price {
    /// Job or bid workbooks, .xlsx or .ods
    #[arg(required = true, value_name = "BOOK")]
    books: Vec<PathBuf>,
    /// The bid to write; for one workbook only [default: <name>-bid.xlsx beside the workbook]
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over a bid that is there
    #[arg(long)]
    replace: bool,
    /// Keep the sizes and offers chosen in the bid that is read, whatever has changed since
    #[arg(long)]
    hold: bool,
    /// Also write <name>-to-quote.xlsx, a copy of the job with a row in Prices for each item that has no price
    #[arg(long)]
    list_missing: bool,
    #[command(flatten)]
    both: Both,
    /// Print one JSON document (see templates/price.schema.json)
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct Revise {
    /// The bid, or the job workbook, as it was
    #[arg(value_name = "OLD")]
    old: PathBuf,
    /// The changed workbook; without it --set changes the old one
    #[arg(value_name = "NEW")]
    new: Option<PathBuf>,
    /// A change: "main size=1", "Runs!D12=3/4" or "run M1 size=3/4"; may be given again for others
    #[arg(long = "set", value_name = "NAME=VALUE")]
    set: Vec<String>,
    /// Values to try: "main size=3/4,1,1-1/4"; given again, every combination is priced
    #[arg(long = "try", value_name = "NAME=VALUES")]
    tries: Vec<String>,
    /// Why the change is made; stands on the change order
    #[arg(long, value_name = "TEXT")]
    reason: Option<String>,
    /// Working days that it adds [default: by the hours]
    #[arg(long, value_name = "N")]
    days: Option<String>,
    /// The revision to write [default: <name>-bid-r<N>.xlsx beside the old workbook]
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over a bid of the same revision that is there
    #[arg(long)]
    replace: bool,
    /// Keep the sizes and offers chosen in the bid that is read, whatever has changed since
    #[arg(long)]
    hold: bool,
    /// A folder of rule tables whose rows go before the built-in ones
    #[arg(long, value_name = "DIR")]
    rules: Option<PathBuf>,
    /// Print one JSON document (see templates/revise.schema.json)
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct Order {
    /// A job or bid workbook, .xlsx or .ods
    #[arg(value_name = "BOOK")]
    book: PathBuf,
    /// The folder to write to [default: beside the workbook]
    #[arg(short, long, value_name = "FOLDER")]
    output: Option<PathBuf>,
    /// Only what these phases need first: underground, rough-in, trim, test; may be given again for others
    #[arg(long = "phase", value_name = "PHASE", value_delimiter = ',')]
    phases: Vec<String>,
    /// An order for each phase by itself
    #[arg(long)]
    by_phase: bool,
    /// Ask every supplier for the price of everything, and order nothing
    #[arg(long)]
    ask: bool,
    /// Write over orders that are there, unless they have been filled in
    #[arg(long)]
    replace: bool,
    /// Keep the sizes, offers, packs and cuts chosen in the bid that is read
    #[arg(long)]
    hold: bool,
    #[command(flatten)]
    both: Both,
    /// Print one JSON document (see templates/order.schema.json)
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct Quotes {
    /// The job or bid workbook that the orders were made from
    #[arg(value_name = "BOOK")]
    book: PathBuf,
    /// Orders that suppliers have filled in, .xlsx, .ods or .csv
    #[arg(required = true, value_name = "FILLED")]
    filled: Vec<PathBuf>,
    /// The workbook to write; the job with the quoted prices goes beside it [default: <name>-quotes.xlsx beside BOOK]
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over files that are there
    #[arg(long)]
    replace: bool,
    /// Keep the sizes, offers, packs and cuts chosen in the bid that is read
    #[arg(long)]
    hold: bool,
    #[command(flatten)]
    both: Both,
    /// Print one JSON document (see templates/quotes.schema.json)
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct Rules {
    /// The table to show; without it all are listed
    table: Option<String>,
    /// Write the tables as CSV files into this folder, to edit and give to --rules
    #[arg(long, value_name = "DIR")]
    export: Option<PathBuf>,
    /// Write over files that are there
    #[arg(long, requires = "export")]
    replace: bool,
    /// Print one JSON document
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Args)]
struct Trace {
    /// A bid workbook, or a job workbook traced as its bid would stand
    book: PathBuf,
    /// The figure's cell in the bid: Sizing!F12, 'Cost build-up'!G15; or a name, such as Bid_total
    cell: String,
    /// How many levels to go down [default: all]
    #[arg(long, value_name = "N")]
    depth: Option<usize>,
    #[command(flatten)]
    both: Both,
}

impl From<Both> for Given {
    fn from(typed: Both) -> Self {
        Self { set: typed.set, rules: typed.rules }
    }
}

impl From<Revise> for revise::Options {
    fn from(typed: Revise) -> Self {
        let Revise { old, new, set, tries, reason, days, output, replace, hold, rules, json } = typed;
        Self { old, new, set, tries, reason, days, hold, rules, output, replace, json }
    }
}

impl From<Cli> for Command {
    fn from(typed: Cli) -> Self {
        match typed.command {
            Typed::Start(Start { sample, from_text, output, replace }) => {
                let from = match (from_text, sample) {
                    (Some(text), _) => start::From::Text(text),
                    (None, true) => start::From::Sample,
                    (None, false) => start::From::Blank,
                };
                Self::Start(start::Options { from, output, replace })
            }
            Typed::Check(Check { books, both, json }) => {
                Self::Check(check::Options { books, given: both.into(), json })
            }
            Typed::Price(Price { books, output, replace, hold, list_missing, both, json }) => {
                Self::Price(price::Options { books, output, replace, hold, list_missing, given: both.into(), json })
            }
            Typed::Revise(typed) => Self::Revise(typed.into()),
            Typed::Order(Order { book, output, phases, by_phase, ask, replace, hold, both, json }) => {
                let (folder, given) = (output, both.into());
                Self::Order(order::Options { book, folder, phases, by_phase, ask, replace, hold, given, json })
            }
            Typed::Quotes(Quotes { book, filled, output, replace, hold, both, json }) => {
                Self::Quotes(quotes::Options { book, filled, output, replace, hold, given: both.into(), json })
            }
            Typed::Rules(Rules { table, export, replace, json }) => {
                Self::Rules(rules::Options { table, export, replace, json })
            }
            Typed::Trace(Trace { book, cell, depth, both }) => {
                Self::Trace(trace::Options { book, cell, depth, given: both.into() })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_arguments_are_declared_without_contradiction() {
        Cli::command().debug_assert();
    }
}
