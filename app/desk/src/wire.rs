//! What the office page asks of its worker, and what it is answered.
//!
//! A message is a line of words, and beside it bytes or a file. The words are those of
//! [`Ask`] and [`Answer`], of which both ends are built from this one text; so a line that
//! does not read can only be of another version, and is `None`. Each question is answered
//! in any number of pieces, of which [`Answer::Done`] or [`Answer::Failed`] is the last.

use quaywright_core::moment::Day;

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
    /// To say what each job comes to; of open ones too.
    Bill {
        /// Whether open jobs are billed.
        open: bool,
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
    /// To give the hours worked for payroll.
    Pay,
    /// To look at what stands at this address.
    Look(String),
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
}

impl Remembered {
    const ALL: [Self; 2] = [Self::Prices, Self::Columns];

    fn slug(self) -> &'static str {
        match self {
            Self::Prices => "prices",
            Self::Columns => "columns",
        }
    }
}

impl Ask {
    /// Returns it as a line.
    pub fn written(&self) -> String {
        let open = |word: &str, open: bool| [word, if open { " open" } else { "" }].concat();
        match self {
            Self::Open(name) => format!("open {name}"),
            Self::TakeIn => "take-in".to_owned(),
            Self::File(name) => format!("file {name}"),
            Self::End => "end".to_owned(),
            Self::Prices(name) => format!("prices {name}"),
            Self::Columns => "columns".to_owned(),
            Self::Bill { open: all } => open("bill", *all),
            Self::Export { open: all } => open("export", *all),
            Self::Again(number) => format!("again {number}"),
            Self::Written(number) => format!("written {number}"),
            Self::Hours { from, to } => {
                let day = |day: &Option<Day>| day.map_or_else(|| "-".to_owned(), |day| day.to_string());
                format!("hours {} {}", day(from), day(to))
            }
            Self::Pay => "pay".to_owned(),
            Self::Look(address) => format!("look {address}"),
        }
    }

    /// Returns what a line asks.
    pub fn read(line: &str) -> Option<Self> {
        let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
        let open = || match rest {
            "" => Some(false),
            "open" => Some(true),
            _ => None,
        };
        match word {
            "open" => Some(Self::Open(rest.to_owned())),
            "take-in" => Some(Self::TakeIn),
            "file" => Some(Self::File(rest.to_owned())),
            "end" => Some(Self::End),
            "prices" => Some(Self::Prices(rest.to_owned())),
            "columns" => Some(Self::Columns),
            "bill" => Some(Self::Bill { open: open()? }),
            "export" => Some(Self::Export { open: open()? }),
            "again" => Some(Self::Again(rest.parse().ok()?)),
            "written" => Some(Self::Written(rest.parse().ok()?)),
            "hours" => {
                let day = |text: &str| if text == "-" { Some(None) } else { Day::parse(text).map(Some) };
                let (from, to) = rest.split_once(' ')?;
                Some(Self::Hours { from: day(from)?, to: day(to)? })
            }
            "pay" => Some(Self::Pay),
            "look" => Some(Self::Look(rest.to_owned())),
            _ => None,
        }
    }
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
            "done" => Some(Self::Done),
            "failed" => Some(Self::Failed(rest.to_owned())),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
            Ask::Bill { open: false },
            Ask::Bill { open: true },
            Ask::Export { open: true },
            Ask::Again(7),
            Ask::Written(8),
            Ask::Hours { from: day, to: None },
            Ask::Hours { from: None, to: day },
            Ask::Pay,
            Ask::Look("board/of/J. Reed".to_owned()),
        ];
        for ask in asks {
            assert_eq!(Ask::read(&ask.written()), Some(ask));
        }
        for other in ["", "bill everything", "hours 2026-05-04", "again", "print"] {
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
            Answer::Page("Open jobs".to_owned()),
            Answer::Done,
            Answer::Failed("the store cannot be used: no room".to_owned()),
        ];
        for answer in answers {
            assert_eq!(Answer::read(&answer.written()), Some(answer));
        }
        for other in ["", "holds 1 2", "looked", "table 1", "remembered nothing"] {
            assert_eq!(Answer::read(other), None, "{other}");
        }
    }
}
