//! The office's command: takes in what phones hand over and says what the days
//! come to.
//!
//! Files may come in any order and twice: what they hold is united by name, so
//! nothing is counted twice. A bad file or record is named and stops no other.
//! The command answers with 0 when all is done, 1 when it is done with faults
//! named, 2 when it is not done.

mod days;

use std::fs;
use std::io::{self, Write as _};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use quaywright_core::exchange::{bundle, plain, table};
use quaywright_core::sheet::DaySheet;

use days::{Day, Taken};

/// Takes in day files and backups of Quaywright.
#[derive(Parser)]
#[command(name = "quaywright-office", version)]
struct Arguments {
    #[command(subcommand)]
    task: Task,
}

#[derive(Subcommand)]
enum Task {
    /// Says what each technician's days come to, and what is missing.
    Day {
        /// Day files, backups, or logs, in any order.
        #[arg(required = true)]
        files: Vec<PathBuf>,
        /// Writes the hours as a table here.
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
        /// Writes clock and billed hours of each line as a table here.
        #[arg(long, value_name = "FILE")]
        billing: Option<PathBuf>,
        /// Writes the trail of the mends as a table here.
        #[arg(long, value_name = "FILE")]
        mends: Option<PathBuf>,
        /// Writes the days as JSON here.
        #[arg(long, value_name = "FILE")]
        json: Option<PathBuf>,
    },
}

/// How days are written to a file.
type Write = fn(&[DaySheet]) -> Vec<u8>;

/// How the command ended.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Ended {
    Done,
    WithFaults,
    NotDone,
}

fn main() -> ExitCode {
    let Task::Day { files, csv, billing, mends, json } = Arguments::parse().task;
    let outputs: [(_, Write); 4] = [
        (csv, table::table),
        (billing, table::billing::table),
        (mends, table::mends::table),
        (json, bundle::summaries),
    ];
    let (mut said, mut wrong) = (String::new(), String::new());
    let ended = day(&files, &outputs, &mut said, &mut wrong);
    let told = io::stdout().write_all(said.as_bytes()).and_then(|()| io::stderr().write_all(wrong.as_bytes()));
    let ended = if told.is_ok() { ended } else { Ended::NotDone };
    ExitCode::from(match ended {
        Ended::Done => 0,
        Ended::WithFaults => 1,
        Ended::NotDone => 2,
    })
}

/// Takes in the files; what the days come to goes into `said`, faults into `wrong`.
fn day(files: &[PathBuf], outputs: &[(Option<PathBuf>, Write)], said: &mut String, wrong: &mut String) -> Ended {
    let mut taken = Taken::default();
    for file in files {
        let name = file.display();
        let faults = match fs::read(file) {
            Ok(bytes) => taken.take(&bytes),
            Err(error) => vec![format!("cannot be read: {error}")],
        };
        faults.iter().for_each(|fault| wrong.push_str(&format!("{name}: {fault}\n")));
    }
    if taken.is_empty() {
        wrong.push_str("Nothing was taken in: there is no day to say.\n");
        return Ended::NotDone;
    }
    let mut sheets = Vec::new();
    for book in taken.books() {
        let who = book.who;
        book.faults.iter().for_each(|fault| wrong.push_str(&format!("{who}: {fault}\n")));
        for Day { sheet, missing } in book.days {
            said.push_str(&plain::plain(&sheet));
            missing.iter().for_each(|missing| said.push_str(&format!("! {missing}\n")));
            said.push('\n');
            sheets.push(sheet);
        }
    }
    for (path, write) in outputs {
        let Some(path) = path else { continue };
        if let Err(error) = fs::write(path, write(&sheets)) {
            wrong.push_str(&format!("{}: cannot be written: {error}\n", path.display()));
            return Ended::NotDone;
        }
    }
    if wrong.is_empty() { Ended::Done } else { Ended::WithFaults }
}
