//! Looking from a terminal: questions as words, answers as text and as a page.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use quaywright_core::exchange::{html, looking as form, pieces};
use quaywright_core::id::EventId;
use quaywright_core::looking::{Asked, Whose, Why};
use quaywright_core::text::Label;
use quaywright_desk::looking::{NotSeen, Pack, Seen, boat_called, look, pack, photos};
use quaywright_desk::store::Store;
use quaywright_desk::told::Told;
use quaywright_papers::pdf::{Draft, Made};
use quaywright_papers::wire::Leaf;

use crate::InStore;
use crate::crew::Threads;
use crate::store::{self, Make};
use crate::tasks::{NotDone, price_list};
use crate::writing::Target;

/// A question.
#[derive(Subcommand)]
pub(crate) enum Looking {
    /// Says which jobs are open: who has them, what is off, what they wait for, what is to be asked.
    Board(Narrowed),
    /// Says which parts open jobs want: what items wait for, what has to be new, what was agreed and not used.
    Parts(Narrowed),
    /// Says which lines are claimed under warranty, how old they are, what they lack, whether their pack left.
    Claims {
        #[command(flatten)]
        narrowed: Narrowed,
        /// Writes the pack of one claim instead, to --page and --pdf: a job or one of its lines, as `claims` tells it.
        #[arg(long, value_name = "JOB or LINE")]
        pack: Option<String>,
        /// Writes the pack as PDF here.
        #[arg(long, value_name = "FILE", requires = "pack")]
        pdf: Option<PathBuf>,
    },
    /// Says what bills would come to that did not go out, by customer and age.
    Unbilled {
        #[command(flatten)]
        narrowed: Narrowed,
        /// The shop's price list.
        #[arg(long, value_name = "FILE")]
        prices: PathBuf,
    },
    /// Says where all these words stand, over all boats and years.
    Find {
        #[command(flatten)]
        output: Output,
        /// The words, or parts of words; case and accents do not matter.
        #[arg(required = true)]
        words: Vec<String>,
    },
    /// Says a boat's history: engines, every job, what was recommended and what came of it.
    Boat {
        #[command(flatten)]
        output: Output,
        /// Her name, or the address `boat/…` by which another answer tells of her.
        boat: String,
    },
    /// Says where something comes from: its time, what was said, when and on which device, photos.
    Why {
        #[command(flatten)]
        output: Output,
        /// A record's name, such as 0101010101010101-7; an address `why/…` that another answer tells; or a billed
        /// line by the columns of an export: "JOB, PAY TYPE: ITEM".
        what: String,
        /// The shop's price list, to tell how it is billed.
        #[arg(long, value_name = "FILE")]
        prices: Option<PathBuf>,
    },
    /// Answers an address that another answer tells: `job/…`, `hours/customer/month=2026-05`.
    Look {
        #[command(flatten)]
        output: Output,
        /// The address.
        address: String,
        /// The shop's price list, where the answer needs one.
        #[arg(long, value_name = "FILE")]
        prices: Option<PathBuf>,
    },
}

/// Whose work, and where it is told.
#[derive(Args)]
pub(crate) struct Narrowed {
    #[command(flatten)]
    output: Output,
    /// One technician's only.
    #[arg(long, value_name = "NAME")]
    technician: Option<String>,
    /// One customer's only.
    #[arg(long, value_name = "NAME")]
    customer: Option<String>,
}

/// From where it is read, and where it is written.
#[derive(Args)]
pub(crate) struct Output {
    #[command(flatten)]
    store: InStore,
    /// Writes the answer as a page here, with its photos.
    #[arg(long, value_name = "FILE")]
    page: Option<PathBuf>,
}

impl Output {
    fn page(&self) -> Result<Option<Target<'_>>, NotDone> {
        self.page.as_deref().map(|file| Target::beside(&self.store.store, file)).transpose()
    }
}

impl Narrowed {
    fn whose(&self) -> Whose {
        let label = |name: &Option<String>| name.as_deref().map(Label::new);
        Whose { technician: label(&self.technician), customer: label(&self.customer) }
    }
}

/// Answers a question.
pub(crate) fn answer(looking: &Looking, told: &mut Told) -> Result<(), NotDone> {
    let (output, prices) = match looking {
        Looking::Claims { narrowed, pack: Some(of), pdf } => {
            return write_pack(&narrowed.output, of, pdf.as_deref(), told);
        }
        Looking::Board(narrowed) | Looking::Parts(narrowed) | Looking::Claims { narrowed, .. } => {
            (&narrowed.output, None)
        }
        Looking::Unbilled { narrowed, prices } => (&narrowed.output, Some(prices)),
        Looking::Find { output, .. } | Looking::Boat { output, .. } => (output, None),
        Looking::Why { output, prices, .. } | Looking::Look { output, prices, .. } => (output, prices.as_ref()),
    };
    let page = output.page()?;
    let prices = prices.map(|file| price_list(file)).transpose()?;
    let failed = NotDone::in_store(&output.store.store);
    let mut kept = store::open(&output.store.store, Make::Never).map_err(failed)?;
    let asked = asked(looking, kept.as_mut()).map_err(|why| not_done(&output.store.store, why))?;
    let seen = look(kept.as_mut(), &Threads::ASKING, asked, prices.as_ref())
        .map_err(|why| not_done(&output.store.store, why))?;
    let Seen { answer, faults } = seen;
    faults.iter().for_each(|fault| told.wrong.push_str(&format!("{fault}\n")));
    told.said.push_str(&form::text(&answer));
    match page {
        Some(file) => write_page(kept.as_mut(), output, &html::looking::page(&answer), file, told),
        None => Ok(()),
    }
}

/// Returns what is asked for.
fn asked(looking: &Looking, kept: &mut dyn Store) -> Result<Asked, NotSeen> {
    Ok(match looking {
        Looking::Board(narrowed) => Asked::Board(narrowed.whose()),
        Looking::Parts(narrowed) => Asked::Parts(narrowed.whose()),
        Looking::Claims { narrowed, .. } => Asked::Claims(narrowed.whose()),
        Looking::Unbilled { narrowed, .. } => Asked::Unbilled(narrowed.whose()),
        Looking::Find { words, .. } => Asked::Find(Label::new(&words.join(" "))),
        Looking::Boat { boat, .. } => match Asked::parse(boat).or_else(|| Asked::parse(&format!("boat/{boat}"))) {
            Some(Asked::Boat(boat)) => Asked::Boat(boat),
            _ => Asked::Boat(boat_called(kept, &Threads::ASKING, boat)?),
        },
        Looking::Why { what, .. } => {
            let said = EventId::parse(what).map(Why::Said).or_else(|| Why::of_key(what)).map(Asked::Why);
            let address = || Asked::parse(what).filter(|asked| matches!(asked, Asked::Why(_)));
            said.or_else(address).ok_or_else(|| NotSeen::NoAddress(what.clone()))?
        }
        Looking::Look { address, .. } => Asked::parse(address).ok_or_else(|| NotSeen::NoAddress(address.clone()))?,
    })
}

fn not_done(store: &str, why: NotSeen) -> NotDone {
    match why {
        NotSeen::Store(why) => NotDone::in_store(store)(why),
        why => NotDone::Words(why.to_string()),
    }
}

fn write_page(
    kept: &mut dyn Store,
    output: &Output,
    of: &[pieces::Piece],
    file: Target<'_>,
    told: &mut Told,
) -> Result<(), NotDone> {
    let photos = photos(kept, of).map_err(NotDone::in_store(&output.store.store))?;
    file.write(&pieces::assemble(of, |blob| photos.get(&blob).cloned()))?;
    told.said.push_str(&format!("\nPage: {}\n", file.path().display()));
    Ok(())
}

/// Returns a job or a line by its name, or by the address that an answer tells.
fn claimed(of: &str) -> Option<EventId> {
    match Asked::parse(of) {
        Some(Asked::Job(job)) => Some(job.0),
        Some(Asked::Claim(line)) => Some(line.0),
        _ => EventId::parse(of),
    }
}

/// Writes the pack of a claim as a page and as PDF.
fn write_pack(output: &Output, of: &str, pdf: Option<&Path>, told: &mut Told) -> Result<(), NotDone> {
    let page = output.page()?;
    let pdf = pdf.map(|file| Target::beside(&output.store.store, file)).transpose()?;
    if page.is_none() && pdf.is_none() {
        return Err(NotDone::Words("say where the pack is written to: --pdf FILE, --page FILE or both".to_owned()));
    }
    let of = claimed(of).ok_or_else(|| NotDone::Words(format!("{of:?} is no name of a job or of a line")))?;
    let mut kept = store::open(&output.store.store, Make::Never).map_err(NotDone::in_store(&output.store.store))?;
    let Pack { pieces, now, lacks } = pack(kept.as_mut(), of).map_err(|why| not_done(&output.store.store, why))?;
    lacks.iter().for_each(|lack| told.said.push_str(&format!("lacks: {lack}\n")));
    if let Some(file) = page {
        write_page(kept.as_mut(), output, &pieces, file, told)?;
    }
    let Some(file) = pdf else { return Ok(()) };
    let photos = photos(kept.as_mut(), &pieces).map_err(NotDone::in_store(&output.store.store))?;
    let mut draft = Draft::new(pieces, Leaf::default(), Made::At(now), Vec::new());
    photos.iter().for_each(|(blob, bytes)| draft.put(*blob, bytes));
    let letters = "this program's letters cannot be read: put it in place anew";
    let typeset = draft.typeset().ok_or_else(|| NotDone::Words(letters.to_owned()))?;
    typeset.faults.iter().for_each(|fault| told.wrong.push_str(&format!("{fault}\n")));
    file.write(&typeset.bytes)?;
    told.said.push_str(&format!("PDF: {}\n", file.path().display()));
    Ok(())
}
