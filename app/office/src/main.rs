//! The office's command: takes in what phones hand over and says what the days
//! come to.
//!
//! Files may come in any order and twice: what they hold is united by name, so
//! nothing is counted twice. A bad file or record is named and stops no other.
//! The command answers with 0 when all is done, 1 when it is done with faults
//! named, 2 when it is not done. Figures and tables go to the standard output or
//! to a file, faults to the standard error.

mod checking;
mod crew;
mod drafts;
mod looking;
mod reading;
mod store;
mod tasks;
mod writing;

use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand};
use quaywright_desk::forms::Form;
use quaywright_desk::pay::PayRules;
use quaywright_desk::told::Told;

/// Takes in day files and backups of Quaywright, and says what they come to.
#[derive(Parser)]
#[command(name = "quaywright-office", version, after_help = BEGIN)]
struct Arguments {
    #[command(subcommand)]
    task: Task,
}

/// How one begins.
const BEGIN: &str = "\
Begin with take-in, which makes the store; all others but `day` need it:
  quaywright-office take-in --store shop.quay FILES-OR-FOLDERS
  quaywright-office board --store shop.quay

The exit code is 0 when all is done, 1 when it is done and faults are named, 2 when it is not done.";

#[derive(Subcommand)]
enum Task {
    /// Keeps day files, backups, logs, folders or zip files of them in the store.
    TakeIn {
        #[command(flatten)]
        store: ToStore,
        /// What to take in, in any order, and twice if need be: nothing is counted twice.
        #[arg(required = true)]
        paths: Vec<PathBuf>,
    },
    /// Says what each technician's days come to, and what is missing.
    Day(DayOf),
    /// Says what each finished job comes to by a price list, and what keeps a bill from going out.
    #[command(after_help = Form::Prices.words())]
    Bill {
        #[command(flatten)]
        store: InStore,
        /// The shop's price list.
        #[arg(long, value_name = "FILE")]
        prices: PathBuf,
        /// Bills jobs too that are not finished.
        #[arg(long)]
        open: bool,
        /// Tells those jobs too that have nothing more to bill.
        #[arg(long, conflicts_with = "export")]
        all: bool,
        /// Works all out anew from the record lines, and uses nothing that was worked out before.
        #[arg(long)]
        anew: bool,
        /// Writes every line that did not go out before into this table (CSV), under the next number. Each goes out once.
        #[arg(long, value_name = "FILE")]
        export: Option<PathBuf>,
        /// The name under which the table's columns were kept; without it every field is a column.
        #[arg(long, value_name = "NAME", requires = "export")]
        columns: Option<String>,
    },
    /// Keeps the columns of the table of an export under a name, for `bill --export --columns`.
    #[command(after_help = Form::Columns.words())]
    Columns {
        #[command(flatten)]
        store: InStore,
        /// The name, such as that of the program that reads the table.
        name: String,
        /// The columns: `Head=field,Head=field`; without them, those of the name are told.
        columns: Option<String>,
    },
    /// Writes the file of an export once more, as it was.
    WriteAgain {
        #[command(flatten)]
        store: InStore,
        /// The number of the export, as `bill --export` told it.
        number: u32,
        /// The table that is written (CSV).
        file: PathBuf,
    },
    /// Writes what went out in an export as drafts of invoices: XML for accounting programs, PDF for people.
    #[command(after_help = Form::Parties.words())]
    Drafts {
        #[command(flatten)]
        store: InStore,
        /// The number of the export, as `bill --export` told it.
        number: u32,
        /// The folder that they are written to.
        folder: PathBuf,
        #[command(flatten)]
        of: drafts::DraftsOf,
    },
    /// Says the hours on jobs by technician, customer, who pays and activity, as a table.
    Hours {
        #[command(flatten)]
        store: InStore,
        /// The table that is written (CSV).
        file: PathBuf,
        /// The first day, such as 2026-05-04; without it, all from the beginning.
        #[arg(long, value_name = "DAY")]
        from: Option<String>,
        /// The last day, which is counted too; without it, all to the end.
        #[arg(long, value_name = "DAY")]
        to: Option<String>,
        /// Works all out anew from the record lines, and uses nothing that was worked out before.
        #[arg(long)]
        anew: bool,
    },
    /// Says the hours worked of each workday and workweek, and the overtime, as a table.
    ///
    /// By the shop's rules as each technician's phone has them. A rule that is typed here holds for everybody in
    /// their place; which rules held is told. Of the days that are asked for, each workweek that holds one is told
    /// whole, since overtime is by the week.
    Pay {
        #[command(flatten)]
        store: InStore,
        /// The table that is written (CSV).
        file: PathBuf,
        /// The first day, such as 2026-05-04; without it, all from the beginning.
        #[arg(long, value_name = "DAY")]
        from: Option<String>,
        /// The last day; without it, all to the end.
        #[arg(long, value_name = "DAY")]
        to: Option<String>,
        #[command(flatten)]
        rules: PayTyped,
    },
    #[command(flatten)]
    Looking(looking::Looking),
    /// Tells record lines as the phones wrote them, by their names: those of an export stand in its column `from`.
    Records {
        #[command(flatten)]
        store: InStore,
        /// Names of records, such as 0101010101010101-7.
        #[arg(required = true)]
        records: Vec<String>,
    },
}

/// Where the office keeps what it takes in.
#[derive(Args)]
struct ToStore {
    /// The store's file, which is made where there is none, or the address of a database: `postgres://user@server/name`.
    #[arg(long, value_name = "FILE or ADDRESS")]
    store: String,
}

/// Where the office keeps what it took in.
#[derive(Args)]
struct InStore {
    /// The store's file, or the address of its database: `postgres://user@server/name`.
    #[arg(long, value_name = "FILE or ADDRESS")]
    store: String,
}

#[derive(Args)]
struct DayOf {
    /// Day files, backups, or logs, in any order; nothing of them is kept.
    #[arg(required_unless_present = "store")]
    files: Vec<PathBuf>,
    /// Says all days of this store instead: its file, or the address of its database.
    #[arg(long, value_name = "FILE or ADDRESS", conflicts_with = "files")]
    store: Option<String>,
    #[command(flatten)]
    outputs: Outputs,
}

/// Where days are written to.
#[derive(Args)]
struct Outputs {
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
}

/// Rules of pay as they are typed; where one is left out, that of the shop on the phones holds.
#[derive(Args)]
struct PayTyped {
    /// The day and the time at which the workweek begins: `"Sunday 06:00"`.
    #[arg(long, value_name = "DAY TIME")]
    week_begins: Option<String>,
    /// Hours of a workweek after which overtime is paid: 40, 7.5 or 7:30.
    #[arg(long, value_name = "HOURS")]
    weekly: Option<String>,
    /// Hours of a workday after which overtime is paid.
    #[arg(long, value_name = "HOURS")]
    daily: Option<String>,
    /// Hours of a workday after which double time is paid.
    #[arg(long, value_name = "HOURS")]
    double: Option<String>,
    /// How starts and stops are rounded: `exact`, `nearest 5 minutes`, `nearest tenth of an hour`, `nearest quarter of an hour`.
    #[arg(long, value_name = "ROUNDING")]
    rounding: Option<String>,
}

impl From<PayTyped> for PayRules {
    fn from(PayTyped { week_begins, weekly, daily, double, rounding }: PayTyped) -> Self {
        Self { week_begins, weekly, daily, double, rounding }
    }
}

fn main() -> ExitCode {
    let mut told = Told::default();
    let done = match Arguments::parse().task {
        Task::TakeIn { store, paths } => tasks::take_in(&store.store, &paths, &mut told),
        Task::Day(of) => match &of.store {
            Some(store) => tasks::stored_days(store, &of.outputs, &mut told),
            None => tasks::days(&of.files, &of.outputs, &mut told),
        },
        Task::Bill { store, prices, open, all, anew, export, columns } => {
            let asked = tasks::Bills { prices: &prices, open, all, anew };
            match export {
                None => tasks::bill(&store.store, &asked, &mut told),
                Some(file) => tasks::export(&store.store, &asked, &file, columns.as_deref(), &mut told),
            }
        }
        Task::Columns { store, name, columns } => tasks::columns(&store.store, &name, columns.as_deref(), &mut told),
        Task::WriteAgain { store, number, file } => tasks::write_again(&store.store, number, &file, &mut told),
        Task::Drafts { store, number, folder, of } => drafts::write(&store.store, number, &folder, &of, &mut told),
        Task::Hours { store, file, from, to, anew } => {
            tasks::hours(&store.store, (from.as_deref(), to.as_deref()), anew, &file, &mut told)
        }
        Task::Pay { store, file, from, to, rules } => {
            tasks::pay(&store.store, (from.as_deref(), to.as_deref()), &rules.into(), &file, &mut told)
        }
        Task::Looking(looking) => looking::answer(&looking, &mut told),
        Task::Records { store, records } => tasks::records(&store.store, &records, &mut told),
    };
    if let Err(why) = &done {
        told.wrong.push_str(&format!("{why}\n"));
    }
    let heard =
        io::stdout().write_all(told.said.as_bytes()).and_then(|()| io::stderr().write_all(told.wrong.as_bytes()));
    ExitCode::from(match (done, heard) {
        (Err(_), _) | (_, Err(_)) => 2,
        (Ok(()), Ok(())) if told.wrong.is_empty() => 0,
        (Ok(()), Ok(())) => 1,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn only_what_makes_a_store_says_that_it_does() {
        let mut all = Arguments::command();
        all.clone().debug_assert();
        for task in all.get_subcommands_mut() {
            let name = task.get_name().to_owned();
            let help = task.render_long_help().to_string();
            assert_eq!(help.contains("made where there is none"), name == "take-in", "{name}: {help}");
        }
    }
}
