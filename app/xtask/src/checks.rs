//! `cargo xtask test`: every check that counts, in order of cost.
//!
//! One list for people and for the machine that checks each change. It stops at
//! the first step that fails and says how to run just that step again.

use crate::dist::{self, Kind};
use crate::tools::{For, Tools};
use crate::{Trouble, run, say};
use std::process::Command;
use std::time::Instant;

/// How often the browser is killed in the test of kept records, unless told otherwise.
pub const KILLS: u32 = 50;

/// Which checks to run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Checks {
    /// Only what needs neither a browser nor WebAssembly.
    pub quick: bool,
    /// How often the browser is killed.
    pub kills: u32,
    /// Only the step of this name.
    pub only: Option<String>,
}

/// Runs the checks.
///
/// # Errors
/// Names the step that failed and how to run it alone.
pub fn checks(wanted: &Checks) -> Result<(), Trouble> {
    let steps: Vec<_> = STEPS.iter().filter(|step| wanted.takes(step)).collect();
    if steps.is_empty() {
        let names: Vec<_> = STEPS.iter().map(|step| step.name).collect();
        return Err(Trouble::Words(format!("no such step; there are: {}", names.join(", "))));
    }
    let begun = Instant::now();
    let tools = if steps.iter().all(|step| step.quick) { None } else { Some(Tools::ready(For::Testing)?) };
    for step in &steps {
        say::heading(format!("{}: {}", step.name, step.says));
        let step_begun = Instant::now();
        (step.run)(wanted, tools.as_ref()).map_err(|reason| Trouble::Step {
            step: step.name.to_owned(),
            reason: reason.to_string(),
            alone: format!("cargo xtask test --only {}", step.name),
        })?;
        let (took, so_far) = (say::length(step_begun.elapsed()), say::length(begun.elapsed()));
        say::line(format!("   {}: good, {took} ({so_far} so far)", step.name));
    }
    say::heading(format!("all {} checks are good, {}", steps.len(), say::length(begun.elapsed())));
    Ok(())
}

impl Checks {
    fn takes(&self, step: &Step) -> bool {
        match &self.only {
            Some(name) => step.name == name,
            None => step.quick || !self.quick,
        }
    }
}

/// One step of the checks.
struct Step {
    name: &'static str,
    says: &'static str,
    quick: bool,
    run: fn(&Checks, Option<&Tools>) -> Result<(), Trouble>,
}

const STEPS: &[Step] = &[
    Step { name: "format", says: "the source is formatted", quick: true, run: |_, _| cargo("fmt --all --check") },
    Step {
        name: "clippy",
        says: "no warning in what runs natively",
        quick: true,
        run: |_, _| cargo("clippy --workspace --exclude quaywright-pocket --all-targets -- -D warnings"),
    },
    Step {
        name: "doc",
        says: "the documentation of the core is whole",
        quick: true,
        run: |_, _| {
            run::show(run::cargo(&["doc", "--no-deps", "-p", "quaywright-core"]).env("RUSTDOCFLAGS", "-D warnings"))
        },
    },
    Step { name: "pure", says: "the core knows no browser", quick: true, run: |_, _| core_is_pure() },
    Step {
        name: "native",
        says: "core, papers, office, tasks and the laws of the whole",
        quick: true,
        run: |_, _| {
            cargo(
                "test -p quaywright-core -p quaywright-papers -p quaywright-desk -p quaywright-office -p quaywright-xtask",
            )?;
            cargo("test -p quaywright-tests --test laws")
        },
    },
    Step {
        name: "clippy-web",
        says: "no warning in what runs in the browser",
        quick: false,
        run: |_, _| {
            cargo("clippy -p quaywright-papers -p quaywright-desk --target wasm32-unknown-unknown -- -D warnings")?;
            cargo("clippy -p quaywright-pocket --target wasm32-unknown-unknown --all-targets -- -D warnings")
        },
    },
    Step {
        name: "papers",
        says: "the PDFs, as programs of others read them",
        quick: false,
        run: |_, tools| run::show(with(tools)?.put_on(&mut command("test -p quaywright-tests --test papers"))),
    },
    Step {
        name: "server",
        says: "the office's store on PostgreSQL, raced and killed",
        quick: false,
        run: |_, _| cargo("test -p quaywright-office -- --ignored"),
    },
    Step { name: "web", says: "the app's parts in a real browser", quick: false, run: |_, tools| web(tools) },
    Step { name: "build", says: "the app as it is given to people", quick: false, run: |_, tools| build(tools) },
    Step { name: "browser", says: "the whole product in a real browser", quick: false, run: browser },
];

fn cargo(words: &str) -> Result<(), Trouble> {
    run::show(&mut command(words))
}

fn command(words: &str) -> Command {
    run::cargo(&words.split(' ').collect::<Vec<_>>())
}

/// `cargo tree -i` fails when the package is not among the dependencies, which is what we want.
fn core_is_pure() -> Result<(), Trouble> {
    for browser in ["wasm-bindgen", "web-sys", "js-sys"] {
        let mut tree = command("tree -p quaywright-core -e normal --target all -i");
        let asked = tree.arg(browser).output();
        let output = asked.map_err(|source| Trouble::Start { program: "cargo".to_owned(), source })?;
        let says = String::from_utf8_lossy(&output.stderr);
        if output.status.success() {
            return Err(Trouble::Other(format!("quaywright-core depends on {browser}; it may not know the browser")));
        }
        // Any other failure would be a check that checks nothing.
        if !says.contains("did not match any packages") {
            return Err(Trouble::Other(format!("cargo tree gave no answer: {says}")));
        }
        say::line(format!("quaywright-core does not depend on {browser}"));
    }
    Ok(())
}

fn with(tools: Option<&Tools>) -> Result<&Tools, Trouble> {
    tools.ok_or_else(|| Trouble::Other("this step needs tools that were not made ready".to_owned()))
}

fn web(tools: Option<&Tools>) -> Result<(), Trouble> {
    let tools = with(tools)?;
    let mut test = command("test -p quaywright-pocket --target wasm32-unknown-unknown");
    if let Some(driver) = tools.find("chromedriver") {
        test.env("CHROMEDRIVER", driver);
    }
    run::show(tools.put_on(&mut test))
}

fn build(tools: Option<&Tools>) -> Result<(), Trouble> {
    dist::build(with(tools)?, Kind::Release).map(drop)
}

fn browser(wanted: &Checks, tools: Option<&Tools>) -> Result<(), Trouble> {
    let mut test = command("test -p quaywright-tests --test browser -- --test-threads=1");
    test.env("QUAYWRIGHT_DIST", dist::folder()).env("QUAYWRIGHT_KILLS", wanted.kills.to_string());
    run::show(with(tools)?.put_on(&mut test))
}

#[cfg(test)]
mod tests {
    use super::{Checks, KILLS, STEPS, checks};

    fn wanted(quick: bool, only: Option<&str>) -> Checks {
        Checks { quick, kills: KILLS, only: only.map(str::to_owned) }
    }

    #[test]
    fn quick_leaves_the_browser_out() {
        let quick: Vec<_> = STEPS.iter().filter(|step| wanted(true, None).takes(step)).map(|step| step.name).collect();
        assert_eq!(quick, ["format", "clippy", "doc", "pure", "native"]);
        assert!(STEPS.iter().all(|step| wanted(false, None).takes(step)));
    }

    #[test]
    fn one_step_can_be_asked_for_by_name() {
        assert_eq!(STEPS.iter().filter(|step| wanted(false, Some("web")).takes(step)).count(), 1);
        let trouble = checks(&wanted(false, Some("wobble"))).unwrap_err().to_string();
        assert!(trouble.contains("there are: format, clippy, doc, pure"), "{trouble}");
    }
}
