//! An answer as plain text, for a terminal or a message.
//!
//! A table's columns are as wide as what stands in them, up to `WIDEST` characters;
//! longer text goes on below, and so does what a cell says beside. Figures stand to the
//! right. After each row comes the address by which more of it can be asked, where there
//! is one: the same that a link of the page leads to ([`crate::looking::Asked`]).

use crate::looking::answer::{Bar, Choice};
use crate::looking::{Answer, Block, Cell};
use crate::sheet::PhotoSheet;
use crate::view::Series;

/// How wide a column may be.
const WIDEST: usize = 34;
/// How long a drawn bar may be.
const BAR: u64 = 30;

/// Returns an answer as text.
pub fn text(answer: &Answer) -> String {
    let mut text = format!("{}\n{}\n", answer.title, answer.lead);
    for block in &answer.blocks {
        put_block(&mut text, block);
    }
    text
}

fn put_block(text: &mut String, block: &Block) {
    match block {
        Block::Head { text: head, .. } => text.push_str(&format!("\n{head}\n")),
        Block::Small(head) => text.push_str(&format!("  {head}\n")),
        Block::Facts(facts) => {
            let known = facts.iter().filter(|(_, cell)| !cell.text.is_empty());
            known.for_each(|(label, cell)| put_lines(text, &format!("{label}: {}{}", cell.text, address(cell))));
        }
        Block::Table { heads, rows } => put_table(text, heads, rows),
        Block::Bars(bars) => put_bars(text, bars),
        Block::Course(series) => put_course(text, series),
        Block::List(cells) => cells.iter().for_each(|cell| put_lines(text, &format!("{}{}", cell.text, address(cell)))),
        Block::Prose(prose) => put_lines(text, prose),
        Block::Note(note) => text.push_str(&format!("{note}\n")),
        Block::Choices { what, choices } => put_choices(text, what, choices),
        Block::Photos(photos) => photos.iter().for_each(|photo| put_photo(text, photo)),
    }
}

fn put_lines(text: &mut String, lines: &str) {
    lines.lines().for_each(|line| text.push_str(&format!("  {line}\n")));
}

fn address(cell: &Cell) -> String {
    cell.to.as_ref().map(|to| format!(" ({to})")).unwrap_or_default()
}

/// Says only what is chosen: a terminal has the addresses in the rows.
fn put_choices(text: &mut String, what: &str, choices: &[Choice]) {
    let narrowed = choices.iter().skip(1).find(|choice| choice.chosen);
    narrowed.iter().for_each(|choice| text.push_str(&format!("only {}: {}\n", what.to_lowercase(), choice.words)));
}

fn put_table(text: &mut String, heads: &[&str], rows: &[Vec<Cell>]) {
    let wrapped: Vec<Vec<Vec<String>>> =
        rows.iter().map(|row| row.iter().map(|cell| wrapped(&cell.text)).collect()).collect();
    let widest = |column: usize| {
        let cells = wrapped.iter().filter_map(|row| row.get(column)).flatten();
        cells.map(|line| line.chars().count()).max().unwrap_or_default()
    };
    let widths: Vec<usize> =
        heads.iter().enumerate().map(|(column, head)| widest(column).max(head.chars().count())).collect();
    text.push('\n');
    put_row(text, &widths, heads.iter().map(|head| ((*head).to_owned(), false)));
    put_row(text, &widths, widths.iter().map(|&width| ("-".repeat(width), false)));
    for (row, lines) in rows.iter().zip(&wrapped) {
        let tall = lines.iter().map(Vec::len).max().unwrap_or_default();
        for nth in 0..tall {
            let cell = |(cell, lines): (&Cell, &Vec<String>)| (line_of(lines, nth).to_owned(), cell.is_figure());
            put_row(text, &widths, row.iter().zip(lines).map(cell));
        }
        let mut asks: Vec<String> = Vec::new();
        for asked in row.iter().filter_map(|cell| cell.to.as_ref()).map(ToString::to_string) {
            if !asks.contains(&asked) {
                asks.push(asked);
            }
        }
        asks.iter().for_each(|asked| text.push_str(&format!("    {asked}\n")));
    }
}

fn line_of(lines: &[String], nth: usize) -> &str {
    lines.get(nth).map(String::as_str).unwrap_or_default()
}

fn put_row(text: &mut String, widths: &[usize], cells: impl Iterator<Item = (String, bool)>) {
    let mut row = String::new();
    for (&width, (cell, figure)) in widths.iter().zip(cells) {
        let blanks = " ".repeat(width.saturating_sub(cell.chars().count()));
        row.push_str(&if figure { blanks + &cell } else { cell + &blanks });
        row.push_str("  ");
    }
    text.push_str(row.trim_end());
    text.push('\n');
}

/// Returns text in lines that are no longer than a column may be; a longer word stands whole.
fn wrapped(text: &str) -> Vec<String> {
    let mut lines = Vec::new();
    for said in text.lines() {
        let mut line = String::new();
        for word in said.split(' ') {
            if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > WIDEST {
                lines.push(std::mem::take(&mut line));
            }
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(word);
        }
        lines.push(line);
    }
    lines
}

fn put_bars(text: &mut String, bars: &[Bar]) {
    let longest = bars.iter().map(|bar| bar.length.ms()).max().unwrap_or_default().max(1);
    let wide = bars.iter().map(|bar| bar.name.text.chars().count()).max().unwrap_or_default();
    let figures = bars.iter().map(|bar| bar.figure.chars().count()).max().unwrap_or_default();
    for bar in bars {
        let name = format!("{}{}", bar.name.text, " ".repeat(wide - bar.name.text.chars().count()));
        let marks = usize::try_from(bar.length.ms().saturating_mul(BAR) / longest).unwrap_or_default();
        let drawn = format!("{name}  {:>figures$}  {}", bar.figure, "#".repeat(marks));
        text.push_str(&format!("  {}\n", drawn.trim_end()));
        bar.name.to.iter().for_each(|asked| text.push_str(&format!("    {asked}\n")));
    }
}

fn put_course(text: &mut String, series: &Series) {
    let told: Vec<String> = series.rows.iter().map(|(when, value)| format!("{when}: {value}")).collect();
    put_lines(text, &format!("{}: {}", series.words, told.join("; ")));
}

fn put_photo(text: &mut String, photo: &PhotoSheet) {
    let shows = photo.shows.map(|shows| format!("{}: ", shows.words())).unwrap_or_default();
    put_lines(text, &format!("{shows}{} ({})", photo.caption, photo.blob));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::looking::{Asked, Whose};
    use crate::moment::Length;
    use expect_test::expect;

    #[test]
    fn an_answer_is_told_like_this() {
        let board = Asked::Board(Whose::default());
        let long = "Cooler: one missing\nThe warranty pack (pump leaks) is not whole: no hull number (HIN)";
        let row = vec![Cell::words("Heron").to(board.clone()), Cell::figure("1:05"), Cell::words(long)];
        let short = vec![Cell::words("Coot"), Cell::figure("12:00"), Cell::default()];
        let bar = |name: &str, hours: u64| Bar {
            name: Cell::words(name),
            figure: format!("{hours}:00"),
            length: Length::from_ms(hours * 3_600_000),
        };
        let answer = Answer {
            asked: board.clone(),
            title: "Open jobs".to_owned(),
            lead: "2 open.".to_owned(),
            blocks: vec![
                Block::Table { heads: vec!["Boat", "Clock", "To be asked"], rows: vec![row, short] },
                Block::head("Hours"),
                Block::Bars(vec![bar("labour", 10), bar("travel", 1)]),
                Block::Facts(vec![("Owner", Cell::words("Reed").to(board)), ("HIN", Cell::default())]),
            ],
        };
        expect![[r#"
            Open jobs
            2 open.

            Boat   Clock  To be asked
            -----  -----  ---------------------------------
            Heron   1:05  Cooler: one missing
                          The warranty pack (pump leaks) is
                          not whole: no hull number (HIN)
                board
            Coot   12:00

            Hours
              labour  10:00  ##############################
              travel   1:00  ###
              Owner: Reed (board)
        "#]]
        .assert_eq(&text(&answer));
    }
}
