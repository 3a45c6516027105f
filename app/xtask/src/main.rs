//! `cargo xtask`: understands the words and calls the task.

use quaywright_xtask::bench::{bench, bench_beside};
use quaywright_xtask::checks::{Checks, KILLS, checks};
use quaywright_xtask::serve::{PORT, Serve, serve};
use quaywright_xtask::tools::{For, Tools};
use quaywright_xtask::watch::watch;
use quaywright_xtask::{Trouble, USAGE, parts, say, stamp};
use std::env;
use std::path::PathBuf;
use std::process::ExitCode;
use std::str::FromStr;

fn main() -> ExitCode {
    match task(&env::args().skip(1).collect::<Vec<_>>()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            say::stopped(trouble.to_string());
            ExitCode::FAILURE
        }
    }
}

fn task(words: &[String]) -> Result<(), Trouble> {
    let Some((task, rest)) = words.split_first() else {
        say::line(USAGE);
        return Ok(());
    };
    let mut options = Options(rest.to_vec());
    match task.as_str() {
        "serve" => {
            let wanted = Serve { demo: options.flag("--demo"), port: options.number("--port", PORT)? };
            options.end()?;
            serve(wanted)
        }
        "test" => {
            let wanted = Checks {
                quick: options.flag("--quick"),
                kills: options.number("--kills", KILLS)?,
                only: options.value("--only")?,
            };
            options.end()?;
            checks(&wanted)
        }
        "watch" => {
            let port = options.number("--port", PORT)?;
            options.end()?;
            watch(port)
        }
        "bench" => {
            let beside = options.flag("--beside");
            options.end()?;
            if beside { bench_beside() } else { bench() }
        }
        "tools" => options.end().and_then(|()| Tools::ready(For::Testing)).map(|_| say::line("every tool is there")),
        "stamp" => options.end().and_then(|()| stamp_staged()),
        "help" | "--help" | "-h" => {
            say::line(USAGE);
            Ok(())
        }
        other => Err(Trouble::Words(format!("there is no task {other}"))),
    }
}

/// What Trunk calls at the end of a build, to cut and stamp it; it tells by its variables where the files are.
fn stamp_staged() -> Result<(), Trouble> {
    let staging = env::var_os("TRUNK_STAGING_DIR").map(PathBuf::from);
    let staging =
        staging.ok_or_else(|| Trouble::Other("stamp is a step of trunk build; use cargo xtask serve".to_owned()))?;
    let base = env::var("TRUNK_PUBLIC_URL").unwrap_or_else(|_| "/".to_owned());
    parts::cut(&staging, &base)?;
    let version = stamp::stamp(&staging, &base)?;
    say::line(format!("stamped as version {version}"));
    Ok(())
}

/// The words after the task, taken one by one; what is left over was not understood.
struct Options(Vec<String>);

impl Options {
    fn flag(&mut self, name: &str) -> bool {
        let found = self.0.iter().position(|word| word == name);
        found.map(|at| self.0.remove(at)).is_some()
    }

    fn value(&mut self, name: &str) -> Result<Option<String>, Trouble> {
        let Some(at) = self.0.iter().position(|word| word == name) else { return Ok(None) };
        self.0.remove(at);
        if at == self.0.len() {
            return Err(Trouble::Words(format!("{name} needs a value")));
        }
        Ok(Some(self.0.remove(at)))
    }

    fn number<N: FromStr>(&mut self, name: &str, otherwise: N) -> Result<N, Trouble> {
        let Some(value) = self.value(name)? else { return Ok(otherwise) };
        value.parse().map_err(|_| Trouble::Words(format!("{name} needs a number, not {value}")))
    }

    fn end(self) -> Result<(), Trouble> {
        match self.0.first() {
            Some(word) => Err(Trouble::Words(format!("{word} is not understood here"))),
            None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Options, task};

    fn options(words: &[&str]) -> Options {
        Options(words.iter().map(|&word| word.to_owned()).collect())
    }

    #[test]
    fn options_are_taken_in_any_order() {
        let mut words = options(&["--port", "81", "--demo"]);
        assert!(words.flag("--demo"));
        assert_eq!(words.number("--port", 80_u16).unwrap(), 81);
        assert_eq!(words.number("--kills", 50_u32).unwrap(), 50);
        assert!(words.end().is_ok());
    }

    #[test]
    fn what_is_not_understood_is_named_with_the_usage() {
        let words = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect::<Vec<_>>();
        for (typed, said) in [
            (words(&["sail"]), "there is no task sail"),
            (words(&["serve", "--fast"]), "--fast is not understood here"),
            (words(&["serve", "--port"]), "--port needs a value"),
            (words(&["test", "--kills", "many"]), "--kills needs a number, not many"),
        ] {
            let text = task(&typed).unwrap_err().to_string();
            assert!(text.starts_with(said) && text.contains("cargo xtask serve"), "{text}");
        }
    }
}
