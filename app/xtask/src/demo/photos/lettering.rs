//! Capitals and figures as strokes, for tape labels and the display of a meter.
//!
//! A character is one string of points, two digits each: column 0 to 4 from the
//! left, row 0 to 6 from the top; a blank lifts the pen.

use super::shape::{At, line};
use super::sheet::{Sheet, Tone};

/// The width of most characters and their gap, in columns.
const PITCH: f32 = 5.6;
/// The height of a character, in rows.
const ROWS: f32 = 6.0;

/// Writes text with its upper left corner at `at`, so many pixels high.
pub(super) fn write(sheet: &mut Sheet, text: &str, at: At, height: f32, tone: Tone, width: f32) {
    let unit = height / ROWS;
    let mut left = at.0;
    for character in text.chars() {
        let lean = sheet.sway(0.12);
        for stroke in strokes(character).split(' ') {
            let digits: Vec<f32> = stroke.bytes().map(|digit| f32::from(digit.wrapping_sub(b'0'))).collect();
            let points: Vec<At> = digits
                .chunks_exact(2)
                .map(|pair| (left + (pair[0] + (ROWS - pair[1]) * lean * 0.3) * unit, at.1 + pair[1] * unit))
                .collect();
            sheet.stroke(&line(&points), tone, width);
        }
        left += columns(character) * unit;
    }
}

/// Returns how wide [`write`] makes the text, in pixels.
pub(super) fn width(text: &str, height: f32) -> f32 {
    text.chars().map(columns).sum::<f32>() * height / ROWS
}

/// Returns how many columns a character takes, with the gap after it.
fn columns(character: char) -> f32 {
    match character {
        '.' => 2.4,
        ' ' => 3.4,
        _ => PITCH,
    }
}

/// Returns the strokes of a character; none for what has none here.
fn strokes(character: char) -> &'static str {
    match character {
        'A' => "062046 1434",
        'B' => "00063645443303 0030414233",
        'C' => "4130100105163645",
        'D' => "00062644422000",
        'E' => "40000646 0333",
        'F' => "400006 0333",
        'G' => "41301001051636454323",
        'H' => "0006 4046 0343",
        'I' => "2026 1030 1636",
        'J' => "4045361605",
        'K' => "0006 400346",
        'L' => "000646",
        'M' => "0600234046",
        'N' => "06004640",
        'O' => "1001051636454130 3010",
        'P' => "06003041423303",
        'Q' => "100105163645413010 2446",
        'R' => "06003041423303 2346",
        'S' => "413010010213334445361605",
        'T' => "0040 2026",
        'U' => "000516364540",
        'V' => "002640",
        'W' => "0016233640",
        'X' => "0046 4006",
        'Y' => "002340 2326",
        'Z' => "00400646",
        '0' => "100105163645413010",
        '1' => "112026 1636",
        '2' => "01103041420646",
        '3' => "0110304142334445361605 3313",
        '4' => "36300444",
        '5' => "400003334445361605",
        '6' => "30100105163645443303",
        '7' => "004016",
        '8' => "13020110304142331304051636454433",
        '9' => "423313020110304145361605",
        '.' => "0506",
        '-' => "1333",
        '/' => "4006",
        '+' => "1333 2224",
        _ => "",
    }
}
