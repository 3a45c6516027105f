//! Bars drawn from whole numbers: a bar for each day, and a bar beside a figure.
//!
//! The pictures are text that is put together here, from figures and the names
//! of days alone; each stands beside a table with the same figures, so a screen
//! reader is told what the picture is of and reads on there. What kind of time a
//! part is, a pattern tells and not a colour.

use leptos::prelude::*;
use quaywright_core::moment::Length;
use quaywright_core::view::{DayBar, Kind};

const WIDTH: u64 = 328;
/// Where the hours are written.
const LEFT: u64 = 28;
const HEIGHT: u64 = 128;
/// Room above the highest line for its figure, and below for the days.
const TOP: u64 = 8;
const FOOT: u64 = 20;
/// A bar is never broader.
const BROADEST: u64 = 44;
const HOUR: u64 = 60;

/// Returns a bar for each day, from the first activity to the last.
pub fn days(days: &[DayBar]) -> AnyView {
    let longest = days.iter().map(|bar| bar.whole().minutes()).max().unwrap_or_default();
    // A line at every fourth hour, and always two of them.
    let most = longest.div_ceil(4 * HOUR).max(2) * 4 * HOUR;
    let up = |minutes: u64| TOP + HEIGHT - minutes * HEIGHT / most;
    let lines = (0..=most / (4 * HOUR)).map(|nth| {
        let y = up(nth * 4 * HOUR);
        let hours = nth * 4;
        format!(
            "<line x1='{LEFT}' x2='{WIDTH}' y1='{y}' y2='{y}'/><text class='end' x='{}' y='{}'>{hours}</text>",
            LEFT - 6,
            y + 4
        )
    });
    let slot = (WIDTH - LEFT) / (days.len() as u64).max(1);
    let wide = (slot * 3 / 4).clamp(4, BROADEST);
    let few = days.len() <= 7;
    let bar = |(nth, bar): (u64, &DayBar)| {
        let (x, mut minutes) = (LEFT + nth * slot + (slot - wide) / 2, 0);
        let parts = Kind::ALL.into_iter().zip(bar.parts).map(|(kind, part)| {
            let (below, above) = (up(minutes), up(minutes + part.minutes()));
            minutes += part.minutes();
            let high = below - above;
            format!("<rect {} x='{x}' y='{above}' width='{wide}' height='{high}'/>", drawn(kind))
        });
        let parts = parts.collect::<String>();
        // Seven bars have room for the names of days; of a month each seventh day has its number.
        let name = match (few, nth % 7) {
            (true, _) => bar.words.split(' ').next().unwrap_or_default(),
            (false, 0) => bar.words.split(' ').next_back().unwrap_or_default(),
            (false, _) => "",
        };
        format!("{parts}<text class='middle' x='{}' y='{}'>{name}</text>", x + wide / 2, TOP + HEIGHT + 16)
    };
    let picture = [PATTERNS.to_owned(), lines.collect(), (0..).zip(days).map(bar).collect()].concat();
    let size = format!("0 0 {WIDTH} {}", TOP + HEIGHT + FOOT);
    view! {
        <svg class="chart" role="img" aria-label="The days as bars; the figures follow as a table" viewBox=size inner_html=picture></svg>
    }
    .into_any()
}

/// Returns how a kind of time is drawn.
pub fn swatch(kind: Kind) -> AnyView {
    let picture = format!("{PATTERNS}<rect {} x='1' y='1' width='22' height='14'/>", drawn(kind));
    view! { <svg class="swatch" aria-hidden="true" viewBox="0 0 24 16" inner_html=picture></svg> }.into_any()
}

/// Returns a bar as long as this is of the longest.
pub fn bar(length: Length, longest: Length) -> AnyView {
    let long = length.minutes() * 100 / longest.minutes().max(1);
    let picture = format!("<rect class='billed' x='0' y='0' width='{long}' height='4'/>");
    view! { <svg class="long" aria-hidden="true" viewBox="0 0 100 4" preserveAspectRatio="none" inner_html=picture></svg> }
        .into_any()
}

/// Returns how a rectangle of this kind looks.
const fn drawn(kind: Kind) -> &'static str {
    match kind {
        Kind::Billed => "class='billed'",
        Kind::NotBilled => "class='not-billed' fill='url(#hatched)'",
        Kind::Pause => "class='pause'",
        Kind::Between => "class='between' fill='url(#dotted)'",
    }
}

const PATTERNS: &str = "<defs>\
<pattern id='hatched' width='5' height='5' patternUnits='userSpaceOnUse' patternTransform='rotate(45)'>\
<rect class='billed' width='2' height='5'/></pattern>\
<pattern id='dotted' width='4' height='4' patternUnits='userSpaceOnUse'>\
<rect class='billed' width='1' height='1'/></pattern></defs>";
