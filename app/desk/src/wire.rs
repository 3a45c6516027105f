//! What the office page asks of its worker, and what it is answered.
//!
//! A message is a line of words, and beside it bytes or a file. The words are those of
//! [`Ask`] and [`Answer`], of which both ends are built from this one text; so a line that
//! does not read can only be of another version, and is `None`. Each question is answered
//! in any number of pieces, of which [`Answer::Done`] or [`Answer::Failed`] is the last.

use quaywright_core::id::{BlobId, DeviceId, EventId, LineId};
use quaywright_core::moment::{Day, Moment};

use crate::forms::Form;

/// What the page asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// To open the store of this name, which is made where there is none.
    Open(String),
    /// To begin a run of taking in.
    TakeIn,
    /// To take in the file beside this, which is called so.
    File(String),
    /// To end the run and say what it did.
    End,
    /// To keep the price list beside this, which is called so.
    Prices(String),
    /// To keep the columns of exports beside this.
    Columns,
    /// To keep the list of who sells and who buys beside this, which is called so.
    Parties(String),
    /// To say what a file is like that the shop writes itself, and give an example.
    Form(Form),
    /// To say what each job comes to that is to be billed now.
    Bill {
        /// Whether open jobs are billed.
        open: bool,
        /// Whether those too are told that have nothing more to bill.
        all: bool,
    },
    /// To let what did not go out before go out.
    Export {
        /// Whether open jobs are billed.
        open: bool,
    },
    /// To give the table of an export once more.
    Again(u32),
    /// To note that the table of an export was saved.
    Written(u32),
    /// To give the hours by customer of some days.
    Hours {
        /// The first day, if there is to be one.
        from: Option<Day>,
        /// The last day, if there is to be one.
        to: Option<Day>,
    },
    /// To give the hours worked for payroll, by the rules that were typed beside this: workweeks with one of some days.
    Pay {
        /// The first day, if there is to be one.
        from: Option<Day>,
        /// The last day, if there is to be one.
        to: Option<Day>,
    },
    /// To look at what stands at this address.
    Look(String),
    /// To make drafts of invoices of an export.
    Drafts {
        /// The export.
        number: u32,
        /// The day that they bear.
        issued: Day,
    },
    /// To pack the file beside this, which is called so, with those that were made.
    PutIn(String),
    /// To give all that was packed as one file, which is called so.
    PackUp(String),
    /// To tell what the pack of this claim is made of: a job, or one of its lines.
    Claim(EventId),
    /// To give a photo.
    Photo(BlobId),
    /// To give the files of a damaged store as they are.
    Rescue,
    /// To leave a damaged store as it is, and begin with an empty one beside it.
    BeginAnew,
}

/// What the page is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// The program is loaded: one may ask.
    Ready,
    /// So many files and technicians are in the store.
    Holds {
        /// Files that were taken in.
        files: usize,
        /// Who worked.
        technicians: usize,
        /// The number of the last export, 0 for none.
        exports: u32,
    },
    /// A text that is kept stands beside this.
    Remembered(Remembered),
    /// So many files were looked at in this run.
    Looked(usize),
    /// What was asked for stands beside this, in words.
    Said,
    /// What is wrong stands beside this, in words.
    Wrong,
    /// A file to save stands beside this.
    Table {
        /// What it is called.
        name: String,
        /// Which export it is, if it is one.
        export: Option<u32>,
    },
    /// What was looked at stands beside this as elements of a page, under this title.
    Page(String),
    /// A draft of an invoice stands beside this: its page, of so many bytes, and then its XML.
    Draft {
        /// How many bytes are its page.
        page: usize,
        /// What its files are called, without an ending.
        name: String,
    },
    /// Record lines stand beside this, each ended by a line feed.
    Lines,
    /// These were the lines of which the pack of a claim is made.
    Claim {
        /// The line that is claimed.
        line: LineId,
        /// The device that said the last of them.
        device: DeviceId,
        /// When that was.
        now: Moment,
    },
    /// The photo stands beside this.
    Photo,
    /// The photo is not there.
    NoPhoto,
    /// The store is damaged, and was left as it is: its files can be saved, and another begun.
    Damaged,
    /// A part of the file that comes next stands beside this.
    Part,
    /// That was all.
    Done,
    /// It could not be done; in words.
    Failed(String),
}

/// Which text is remembered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Remembered {
    /// What the price list is called.
    Prices,
    /// The columns of exports.
    Columns,
    /// What the list of who sells and who buys is called.
    Parties,
    /// The rules of pay that were typed, as lines.
    Pay,
}

impl Remembered {
    const ALL: [Self; 4] = [Self::Prices, Self::Columns, Self::Parties, Self::Pay];

    fn slug(self) -> &'static str {
        match self {
            Self::Prices => "prices",
            Self::Columns => "columns",
            Self::Parties => "parties",
            Self::Pay => "pay",
        }
    }
}

/// Which jobs bills and exports are asked of, as words behind the question's own.
const OPEN: &str = " open";
const ALL: &str = " all";

impl Ask {
    /// Returns it as a line.
    pub fn written(&self) -> String {
        let if_so = |is_so: bool, word: &'static str| if is_so { word } else { "" };
        match self {
            Self::Open(name) => format!("open {name}"),
            Self::TakeIn => "take-in".to_owned(),
            Self::File(name) => format!("file {name}"),
            Self::End => "end".to_owned(),
            Self::Prices(name) => format!("prices {name}"),
            Self::Columns => "columns".to_owned(),
            Self::Parties(name) => format!("parties {name}"),
            Self::Form(form) => format!("form {}", form.slug()),
            Self::Bill { open, all } => ["bill", if_so(*open, OPEN), if_so(*all, ALL)].concat(),
            Self::Export { open } => ["export", if_so(*open, OPEN)].concat(),
            Self::Again(number) => format!("again {number}"),
            Self::Written(number) => format!("written {number}"),
            Self::Hours { from, to } => format!("hours {}", days_written(*from, *to)),
            Self::Pay { from, to } => format!("pay {}", days_written(*from, *to)),
            Self::Look(address) => format!("look {address}"),
            Self::Drafts { number, issued } => format!("drafts {number} {issued}"),
            Self::PutIn(name) => format!("put-in {name}"),
            Self::PackUp(name) => format!("pack-up {name}"),
            Self::Claim(of) => format!("claim {of}"),
            Self::Photo(blob) => format!("photo {blob}"),
            Self::Rescue => "rescue".to_owned(),
            Self::BeginAnew => "begin-anew".to_owned(),
        }
    }

    /// Returns what a line asks.
    pub fn read(line: &str) -> Option<Self> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "open" => Some(Self::Open(rest.to_owned())),
            "take-in" => Some(Self::TakeIn),
            "file" => Some(Self::File(rest.to_owned())),
            "end" => Some(Self::End),
            "prices" => Some(Self::Prices(rest.to_owned())),
            "columns" => Some(Self::Columns),
            "parties" => Some(Self::Parties(rest.to_owned())),
            "form" => Form::ALL.into_iter().find(|form| form.slug() == rest).map(Self::Form),
            "bill" | "export" => {
                let asks = [false, true].into_iter().flat_map(|open| {
                    [Self::Bill { open, all: false }, Self::Bill { open, all: true }, Self::Export { open }]
                });
                asks.into_iter().find(|ask| ask.written() == line)
            }
            "again" => Some(Self::Again(rest.parse().ok()?)),
            "written" => Some(Self::Written(rest.parse().ok()?)),
            "hours" => days_read(rest).map(|(from, to)| Self::Hours { from, to }),
            "pay" => days_read(rest).map(|(from, to)| Self::Pay { from, to }),
            "look" => Some(Self::Look(rest.to_owned())),
            "drafts" => {
                let (number, issued) = rest.split_once(' ')?;
                Some(Self::Drafts { number: number.parse().ok()?, issued: Day::parse(issued)? })
            }
            "put-in" => Some(Self::PutIn(rest.to_owned())),
            "pack-up" => Some(Self::PackUp(rest.to_owned())),
            "claim" => EventId::parse(rest).map(Self::Claim),
            "photo" => BlobId::parse(rest).map(Self::Photo),
            "rescue" => Some(Self::Rescue),
            "begin-anew" => Some(Self::BeginAnew),
            _ => None,
        }
    }
}

/// What stands for a day that is not asked for.
const NO_DAY: &str = "-";

fn days_written(from: Option<Day>, to: Option<Day>) -> String {
    [from, to].map(|day| day.map_or_else(|| NO_DAY.to_owned(), |day| day.to_string())).join(" ")
}

fn days_read(text: &str) -> Option<(Option<Day>, Option<Day>)> {
    let day = |text: &str| if text == NO_DAY { Some(None) } else { Day::parse(text).map(Some) };
    let (from, to) = text.split_once(' ')?;
    Some((day(from)?, day(to)?))
}

impl Answer {
    /// Returns it as a line.
    pub fn written(&self) -> String {
        match self {
            Self::Ready => "ready".to_owned(),
            Self::Holds { files, technicians, exports } => format!("holds {files} {technicians} {exports}"),
            Self::Remembered(which) => format!("remembered {}", which.slug()),
            Self::Looked(count) => format!("looked {count}"),
            Self::Said => "said".to_owned(),
            Self::Wrong => "wrong".to_owned(),
            Self::Table { name, export } => format!("table {} {name}", export.unwrap_or_default()),
            Self::Page(title) => format!("page {title}"),
            Self::Draft { page, name } => format!("draft {page} {name}"),
            Self::Lines => "lines".to_owned(),
            Self::Claim { line, device, now } => format!("claim {line} {device} {now}"),
            Self::Photo => "photo".to_owned(),
            Self::NoPhoto => "no-photo".to_owned(),
            Self::Damaged => "damaged".to_owned(),
            Self::Part => "part".to_owned(),
            Self::Done => "done".to_owned(),
            Self::Failed(why) => format!("failed {why}"),
        }
    }

    /// Returns what a line answers.
    pub fn read(line: &str) -> Option<Self> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        match word {
            "ready" => Some(Self::Ready),
            "holds" => {
                let mut counts = rest.split(' ');
                let (files, technicians) = (counts.next()?.parse().ok()?, counts.next()?.parse().ok()?);
                Some(Self::Holds { files, technicians, exports: counts.next()?.parse().ok()? })
            }
            "remembered" => Remembered::ALL.into_iter().find(|it| it.slug() == rest).map(Self::Remembered),
            "looked" => Some(Self::Looked(rest.parse().ok()?)),
            "said" => Some(Self::Said),
            "wrong" => Some(Self::Wrong),
            "table" => {
                let (export, name) = rest.split_once(' ')?;
                let export = Some(export.parse().ok()?).filter(|&number| number > 0);
                Some(Self::Table { name: name.to_owned(), export })
            }
            "page" => Some(Self::Page(rest.to_owned())),
            "draft" => {
                let (page, name) = rest.split_once(' ')?;
                Some(Self::Draft { page: page.parse().ok()?, name: name.to_owned() })
            }
            "lines" => Some(Self::Lines),
            "claim" => {
                let (line, rest) = rest.split_once(' ')?;
                let (device, now) = rest.split_once(' ')?;
                let (line, device) = (LineId(EventId::parse(line)?), DeviceId::parse(device)?);
                Some(Self::Claim { line, device, now: Moment::parse(now).ok()? })
            }
            "photo" => Some(Self::Photo),
            "no-photo" => Some(Self::NoPhoto),
            "damaged" => Some(Self::Damaged),
            "part" => Some(Self::Part),
            "done" => Some(Self::Done),
            "failed" => Some(Self::Failed(rest.to_owned())),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn claimed() -> EventId {
        EventId::parse("abababababababab-12").unwrap()
    }

    #[test]
    fn every_question_arrives_as_it_was_asked() {
        let day = Day::parse("2026-05-04");
        let asks = [
            Ask::Open("yard".to_owned()),
            Ask::TakeIn,
            Ask::File("week 1/J. Reed 2026-05-18.html".to_owned()),
            Ask::End,
            Ask::Prices("prices of May.json".to_owned()),
            Ask::Columns,
            Ask::Parties("who is who.json".to_owned()),
            Ask::Form(Form::Prices),
            Ask::Form(Form::Parties),
            Ask::Form(Form::Columns),
            Ask::Bill { open: false, all: false },
            Ask::Bill { open: true, all: false },
            Ask::Bill { open: false, all: true },
            Ask::Bill { open: true, all: true },
            Ask::Export { open: false },
            Ask::Export { open: true },
            Ask::Again(7),
            Ask::Written(8),
            Ask::Hours { from: day, to: None },
            Ask::Hours { from: None, to: day },
            Ask::Pay { from: None, to: None },
            Ask::Pay { from: day, to: day },
            Ask::Look("board/of/J. Reed".to_owned()),
            Ask::Drafts { number: 3, issued: day.unwrap() },
            Ask::PutIn("draft-3-1.pdf".to_owned()),
            Ask::PackUp("drafts-3.zip".to_owned()),
            Ask::Claim(claimed()),
            Ask::Photo(BlobId::of(b"photo")),
            Ask::Rescue,
            Ask::BeginAnew,
        ];
        for ask in asks {
            assert_eq!(Ask::read(&ask.written()), Some(ask));
        }
        for other in [
            "",
            "bill everything",
            "export all",
            "hours 2026-05-04",
            "again",
            "print",
            "drafts 1",
            "claim 1",
            "photo 0",
            "form pay",
            "pay",
        ] {
            assert_eq!(Ask::read(other), None, "{other}");
        }
    }

    #[test]
    fn every_answer_arrives_as_it_was_given() {
        let table = |export| Answer::Table { name: "export 3.csv".to_owned(), export };
        let answers = [
            Answer::Ready,
            Answer::Holds { files: 40, technicians: 3, exports: 0 },
            Answer::Remembered(Remembered::Prices),
            Answer::Remembered(Remembered::Columns),
            Answer::Looked(200),
            Answer::Said,
            Answer::Wrong,
            table(None),
            table(Some(3)),
            Answer::Remembered(Remembered::Parties),
            Answer::Remembered(Remembered::Pay),
            Answer::Page("Open jobs".to_owned()),
            Answer::Draft { page: 2_048, name: "draft-3-1".to_owned() },
            Answer::Lines,
            Answer::Claim {
                line: LineId(claimed()),
                device: claimed().device,
                now: Moment::parse("2026-05-04T07:58:12.000+01:00").unwrap(),
            },
            Answer::Photo,
            Answer::NoPhoto,
            Answer::Damaged,
            Answer::Part,
            Answer::Done,
            Answer::Failed("the store cannot be used: no room".to_owned()),
        ];
        for answer in answers {
            assert_eq!(Answer::read(&answer.written()), Some(answer));
        }
        for other in ["", "holds 1 2", "looked", "table 1", "remembered nothing", "draft 7", "claim 1"] {
            assert_eq!(Answer::read(other), None, "{other}");
        }
    }
}
