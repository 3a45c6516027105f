//! Accessibility, judged by axe-core, which is written and kept by others.
//!
//! The script is a tool of the tests and no part of the product. It is looked
//! for in `$QUAYWRIGHT_TOOLS/npm` (by default under `~/.cache/quaywright/tools`)
//! and installed there with npm when it is missing. It enters a page through
//! the DevTools wire, past the page's content security policy, which stays on.

use std::path::PathBuf;
use std::process::Command;
use std::{env, fmt, fs, io};

use serde_json::Value;

use crate::failure::Failure;
use crate::page::Page;

/// Pinned, so that a verdict changes only when we mean it to.
const VERSION: &str = "4.14.1";

/// One rule that a page breaks.
#[derive(Clone, Debug)]
pub struct Violation {
    /// The rule's id, such as `image-alt`.
    pub rule: String,
    /// `minor`, `moderate`, `serious` or `critical`.
    pub impact: String,
    /// What should be so.
    pub help: String,
    /// The elements that break it: where, and what is wrong.
    pub places: Vec<String>,
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{} ({}): {}", self.rule, self.impact, self.help)?;
        self.places.iter().try_for_each(|place| writeln!(f, "    {place}"))
    }
}

impl Page {
    /// Returns every rule that the page, as it stands, breaks.
    pub fn axe(&self) -> Result<Vec<Violation>, Failure> {
        if !self.eval::<bool>("typeof window.axe === 'object'")? {
            self.eval::<Value>(&format!("{}\n;null", source()?))?;
        }
        let verdict: Value =
            self.eval("axe.run(document, { resultTypes: ['violations'] }).then(it => it.violations)")?;
        Ok(verdict.as_array().into_iter().flatten().map(violation).collect())
    }
}

fn violation(it: &Value) -> Violation {
    let place = |node: &Value| {
        let wrong = text(&node["failureSummary"]).replace('\n', " ");
        format!("{} {} {wrong}", node["target"], text(&node["html"]))
    };
    Violation {
        rule: text(&it["id"]),
        impact: text(&it["impact"]),
        help: text(&it["help"]),
        places: it["nodes"].as_array().into_iter().flatten().map(place).collect(),
    }
}

/// Returns the script, installing it first if need be.
fn source() -> Result<String, Failure> {
    let npm = tools()?.join("npm");
    let package = npm.join("node_modules/axe-core");
    let installed = fs::read_to_string(package.join("package.json")).unwrap_or_default();
    if !installed.contains(&format!("\"version\": \"{VERSION}\"")) {
        install(&npm)?;
    }
    let script = package.join("axe.min.js");
    fs::read_to_string(&script).map_err(Failure::machine(format!("cannot read {}", script.display())))
}

fn install(folder: &PathBuf) -> Result<(), Failure> {
    let tried = format!("`npm install --prefix {} axe-core@{VERSION}` failed", folder.display());
    fs::create_dir_all(folder).map_err(Failure::machine(tried.clone()))?;
    let status = Command::new("npm")
        .args(["install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix"])
        .arg(folder)
        .arg(format!("axe-core@{VERSION}"))
        .output()
        .map_err(Failure::machine(tried.clone()))?;
    if status.status.success() {
        return Ok(());
    }
    let words = String::from_utf8_lossy(&status.stderr).into_owned();
    Err(Failure::Machine { what: tried, source: io::Error::other(words) })
}

/// Returns the folder that `cargo xtask` keeps its tools in too.
fn tools() -> Result<PathBuf, Failure> {
    let named = |variable: &str| env::var_os(variable).filter(|it| !it.is_empty()).map(PathBuf::from);
    named("QUAYWRIGHT_TOOLS")
        .or_else(|| named("XDG_CACHE_HOME").map(|it| it.join("quaywright/tools")))
        .or_else(|| named("HOME").map(|it| it.join(".cache/quaywright/tools")))
        .ok_or_else(|| Failure::Machine {
            what: "no folder for tools: set QUAYWRIGHT_TOOLS to one".to_owned(),
            source: io::ErrorKind::NotFound.into(),
        })
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}
