//! An answer as plain data: blocks that a text and a page lay out alike.
//!
//! What leads to a further question carries it ([`Cell::to`]); whoever lays the answer
//! out makes a link of it, an anchor within the same file, or an address to type.
//! A table is bounded: what is beyond is counted and said, and narrowing finds it.
//! Whoever hears links without seeing the table knows them by their words alone. So two of
//! a row, or of a run of facts, that bear the same words lead to the same place, which one
//! of them is enough for; where they would lead to two, the second says what it is of.

use super::asked::Asked;
use crate::moment::Length;
use crate::sheet::PhotoSheet;
use crate::view::Series;

/// The answer to a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// What was asked.
    pub asked: Asked,
    /// What it is about.
    pub title: String,
    /// What it comes to, and by which rule, in a sentence or two.
    pub lead: String,
    /// What there is to see.
    pub blocks: Vec<Block>,
}

/// A part of an answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A heading; what follows is the answer to a question of its own where one is named.
    Head {
        /// The words.
        text: String,
        /// The question.
        is: Option<Asked>,
    },
    /// A heading within such a part.
    Small(String),
    /// Labels and what they say.
    Facts(Vec<(&'static str, Cell)>),
    /// Rows under heads.
    Table {
        /// The heads.
        heads: Vec<&'static str>,
        /// The rows, each as long as the heads.
        rows: Vec<Vec<Cell>>,
    },
    /// Lengths beside each other, drawn.
    Bars(Vec<Bar>),
    /// How something that is measured went over time, drawn and told.
    Course(Series),
    /// Lines that stand below each other.
    List(Vec<Cell>),
    /// Text as somebody wrote it.
    Prose(String),
    /// What is to be known of what stands above or below.
    Note(String),
    /// What the answer may be narrowed to.
    Choices {
        /// By what.
        what: &'static str,
        /// What there is to choose.
        choices: Vec<Choice>,
    },
    /// Photos.
    Photos(Vec<PhotoSheet>),
}

/// A piece of an answer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    /// What it says; lines below each other where it says several things.
    pub text: String,
    /// What more can be asked about it.
    pub to: Option<Asked>,
    /// Whether it is a figure, which stands below figures.
    pub figure: bool,
}

/// A length drawn beside its words and figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// Of what.
    pub name: Cell,
    /// How long, in figures.
    pub figure: String,
    /// How long.
    pub length: Length,
}

/// One way of narrowing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// What it is called.
    pub words: String,
    /// What is asked then.
    pub asked: Asked,
    /// Whether that is asked now.
    pub chosen: bool,
}

/// The most rows of one table.
pub const MOST_ROWS: usize = 500;

impl Cell {
    /// Returns words.
    pub fn words(text: impl Into<String>) -> Self {
        Self { text: text.into(), ..Self::default() }
    }

    /// Returns a figure.
    pub fn figure(text: impl ToString) -> Self {
        Self { text: text.to_string(), to: None, figure: true }
    }

    /// Returns several things below each other.
    pub fn lines(lines: &[String]) -> Self {
        Self::words(lines.join("\n"))
    }

    /// Tells whether it is a figure.
    pub fn is_figure(&self) -> bool {
        self.figure
    }

    /// Returns the same leading to a question.
    pub fn to(self, asked: Asked) -> Self {
        Self { to: Some(asked), ..self }
    }
}

impl Block {
    /// Returns a heading.
    pub fn head(text: impl Into<String>) -> Self {
        Self::Head { text: text.into(), is: None }
    }

    /// Returns labels and what they say; links are told apart.
    pub fn facts(mut facts: Vec<(&'static str, Cell)>) -> Self {
        tell_apart(facts.iter_mut().map(|(label, cell)| (*label, cell)));
        Self::Facts(facts)
    }

    /// Returns a table of at most [`MOST_ROWS`] rows, with how many more there are; or what is
    /// said where there is none; the links of a row are told apart.
    pub fn table(heads: &[&'static str], mut rows: Vec<Vec<Cell>>, none: &str) -> Vec<Self> {
        if rows.is_empty() {
            return vec![Self::Note(none.to_owned())];
        }
        let more = rows.len().saturating_sub(MOST_ROWS);
        rows.truncate(MOST_ROWS);
        rows.iter_mut().for_each(|row| tell_apart(heads.iter().copied().zip(row)));
        let table = Self::Table { heads: heads.to_vec(), rows };
        let note = (more > 0).then(|| Self::Note(format!("{more} more are not shown: narrow what is asked.")));
        [table].into_iter().chain(note).collect()
    }

    /// Returns a list under a small heading; nothing where nothing is to be listed.
    pub fn listed(head: &str, lines: Vec<String>) -> Vec<Self> {
        if lines.is_empty() {
            return Vec::new();
        }
        vec![Self::Small(head.to_owned()), Self::List(lines.into_iter().map(Cell::words).collect())]
    }
}

/// Gives the links among cells words of their own, each cell with its head.
fn tell_apart<'a>(cells: impl Iterator<Item = (&'static str, &'a mut Cell)>) {
    let mut links: Vec<(String, Asked)> = Vec::new();
    for (head, cell) in cells {
        let Some(to) = cell.to.take() else { continue };
        match links.iter().find(|(words, _)| *words == cell.text) {
            Some((_, known)) if *known == to => continue,
            Some(_) => cell.text = format!("{head}: {}", cell.text),
            None => {}
        }
        links.push((cell.text.clone(), to.clone()));
        cell.to = Some(to);
    }
}
