//! What a task says on the screen: the only place that prints.
//!
//! A task tells what it does while it does it, and how long a step took, so that
//! nobody waits before a silent screen.
#![allow(clippy::print_stdout, clippy::print_stderr)]

use std::io::Write;
use std::time::Duration;

/// Says one line.
pub fn line(text: impl AsRef<str>) {
    println!("{}", text.as_ref());
    // What a child process prints next must come after it.
    std::io::stdout().flush().ok();
}

/// Says the heading of a step.
pub fn heading(text: impl AsRef<str>) {
    line(format!("\n== {}", text.as_ref()));
}

/// Says why the task stopped, where errors go.
pub fn stopped(text: impl AsRef<str>) {
    eprintln!("\n{}", text.as_ref());
}

/// Returns a length of time as a person says it: `0.4 s`, `12 s`, `3 min 05 s`.
pub fn length(time: Duration) -> String {
    match time.as_secs() {
        0..10 => format!("{:.1} s", time.as_secs_f64()),
        seconds @ 10..60 => format!("{seconds} s"),
        seconds => format!("{} min {:02} s", seconds / 60, seconds % 60),
    }
}

#[cfg(test)]
mod tests {
    use super::length;
    use std::time::Duration;

    #[test]
    fn lengths_read_as_a_person_says_them() {
        for (millis, said) in [(400, "0.4 s"), (12_900, "12 s"), (60_000, "1 min 00 s"), (185_000, "3 min 05 s")] {
            assert_eq!(length(Duration::from_millis(millis)), said);
        }
    }
}
