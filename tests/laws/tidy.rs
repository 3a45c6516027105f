//! What the source tree must look like, told by the file and line that does not.
//!
//! Every rule is a function from one file's text to the lines that break it,
//! so that each is tried on made-up text too: a rule that finds nothing
//! anywhere proves nothing. The words that are looked for are written in two
//! pieces, so that this file keeps its own rules.

use std::fs;
use std::path::{Path, PathBuf};

/// One file of the tree.
struct Source {
    /// The path from the root, with slashes.
    path: String,
    text: String,
}

/// A line that breaks a rule, counted from 1, and why.
type Offence = (usize, String);

#[test]
fn every_module_says_what_it_is_for() {
    check(&rust_of_the_product(), |it| has_head_comment(&it.text));
}

#[test]
fn the_browser_is_touched_in_one_place() {
    let allowed =
        ["app/pocket/src/platform/", "app/pocket/src/main.rs", "app/papers/src/door.rs", "app/desk/src/door.rs"];
    // Not the tasks: they name the build's tools in words, and link no browser.
    let files = tree(&["core/src", "app/desk/src", "app/papers/src", "app/pocket/src", "app/office/src"], &["rs"]);
    let files: Vec<_> = files.into_iter().filter(|it| !starts_with_any(&it.path, &allowed)).collect();
    check(&files, |it| names_the_browser(&it.text));
}

#[test]
fn wire_forms_are_derived_in_exchange_only() {
    let allowed = ["core/src/exchange/", "core/src/exchange.rs"];
    let files = tree(&["core/src"], &["rs"]);
    let files: Vec<_> = files.into_iter().filter(|it| !starts_with_any(&it.path, &allowed)).collect();
    check(&files, |it| derives_wire_forms(&it.text));
}

#[test]
fn nothing_is_left_undone_or_skipped() {
    let files = tree(&["core", "app", "tests", "public"], &["rs", "js", "css", "html", "toml", "sh"]);
    check(&files, |it| leaves_work(&it.text));
    let steps = tree(&["app/xtask/src"], &["rs"]);
    assert!(steps.iter().any(|it| it.text.contains("test -p quaywright-office -- --ignored")), "no step runs them");
}

#[test]
fn the_app_knows_no_other_origin() {
    let mut files = tree(&["app/papers/src", "app/pocket/src"], &["rs"]);
    for file in &mut files {
        // Comments may cite a standard; what runs may not.
        file.text = file.text.lines().map(code_of).collect::<Vec<_>>().join("\n");
    }
    files.extend(tree(&["app/pocket"], &["html", "js", "css", "json"]));
    files.extend(tree(&["public"], &[]));
    check(&files, |it| names_an_origin(&it.text));
}

#[test]
fn the_rules_see_what_they_forbid() {
    let lines = |offences: Vec<Offence>| offences.iter().map(|it| it.0).collect::<Vec<_>>();

    assert_eq!(lines(has_head_comment("use std::fs;\n")), [1]);
    assert_eq!(lines(has_head_comment("//! A module.\n")), [0; 0]);

    assert_eq!(lines(names_the_browser("// web_sys is told about\nuse web_sys::Window;\n")), [2]);
    assert_eq!(lines(names_the_browser("let x = js_sys::Date::now();\nwasm_bindgen_futures::x()")), [1, 2]);
    assert_eq!(lines(names_the_browser("let my_web_system = 1;")), [0; 0]);

    assert_eq!(lines(derives_wire_forms("#[derive(Debug,\n    Serialize)]\nstruct X;")), [1]);
    assert_eq!(lines(derives_wire_forms("\n#[cfg_attr(x, derive(serde::Deserialize))]")), [2]);
    assert_eq!(lines(derives_wire_forms("#[derive(Debug)]\nstruct Serialize;")), [0; 0]);

    for word in undone() {
        assert_eq!(lines(leaves_work(&format!("fine\nx {word} y"))), [2], "{word}");
    }
    assert_eq!(lines(leaves_work("mastodon, a todo list")), [0; 0]);

    assert_eq!(lines(names_an_origin("ok\nfetch('https://elsewhere.example/')")), [2]);
    assert_eq!(lines(names_an_origin("<script src=\"//elsewhere.example/x.js\">")), [1]);
    assert_eq!(lines(names_an_origin("<svg xmlns=\"http://www.w3.org/2000/svg\"> // a comment")), [0; 0]);

    assert_eq!(code_of("let x = \"https://a.example\"; // http://b.example"), "let x = \"https://a.example\"; ");
    assert_eq!(code_of("/// http://b.example"), "");
}

fn has_head_comment(text: &str) -> Vec<Offence> {
    let says = text.starts_with("//!");
    if says { Vec::new() } else { vec![(1, "begins without a `//!` comment that says what it is for".to_owned())] }
}

fn names_the_browser(text: &str) -> Vec<Offence> {
    let crates = ["web_sys", "js_sys", "wasm_bindgen"];
    offences(text, |line| {
        let code = code_of(line);
        let words = code.split(|c: char| !c.is_alphanumeric() && c != '_');
        let found = words.into_iter().find(|word| crates.iter().any(|it| word.starts_with(it)))?;
        Some(format!("`{found}` belongs into app/pocket/src/platform or the papers' door"))
    })
}

fn derives_wire_forms(text: &str) -> Vec<Offence> {
    let mut found = Vec::new();
    for (start, _) in text.match_indices("derive(") {
        let list = text[start..].split(')').next().unwrap_or_default();
        let words = list.split(|c: char| !c.is_alphanumeric());
        if words.into_iter().any(|it| it == "Serialize" || it == "Deserialize") {
            let line = text[..start].lines().count().max(1);
            found.push((line, "a wire form belongs into core/src/exchange".to_owned()));
        }
    }
    found
}

/// What needs a server is left out by `cargo test` and run by a step of its own.
const RUN_BY_A_STEP: &str = " = \"needs PostgreSQL: cargo xtask test --only server\"]";

fn leaves_work(text: &str) -> Vec<Offence> {
    offences(text, |line| {
        let line = line.replace(&["#[", "ignore", RUN_BY_A_STEP].concat(), "");
        let word = undone().into_iter().find(|word| line.contains(word.as_str()))?;
        Some(format!("`{word}`: finish it, or write down what is so today"))
    })
}

fn undone() -> [String; 6] {
    [("db", "g!"), ("todo", "!("), ("unimplemented", "!("), ("TO", "DO"), ("FIX", "ME"), ("#[", "ignore")]
        .map(|(head, tail)| format!("{head}{tail}"))
}

/// Names of vocabularies look like addresses and are never asked for anything.
const NAMESPACES: &str = "http://www.w3.org/";

fn names_an_origin(text: &str) -> Vec<Offence> {
    offences(text, |line| {
        let line = line.replace(NAMESPACES, "");
        let found = ["http://", "https://", "ws://", "wss://", "\"//", "'//", "(//"]
            .into_iter()
            .find(|it| line.contains(it))?;
        Some(format!("`{found}…` leads to another origin: the app asks its own only"))
    })
}

fn offences(text: &str, mut judge: impl FnMut(&str) -> Option<String>) -> Vec<Offence> {
    text.lines().enumerate().filter_map(|(at, line)| Some((at + 1, judge(line)?))).collect()
}

/// Returns a line of Rust without its comment; the slashes of an address begin none.
fn code_of(line: &str) -> &str {
    let begins = |at: &usize| *at == 0 || line.as_bytes()[at - 1] != b':';
    let comment = line.match_indices("//").map(|(at, _)| at).find(begins);
    comment.map_or(line, |at| &line[..at])
}

/// Fails with every offence of every file, one a line.
#[track_caller]
fn check(files: &[Source], rule: impl Fn(&Source) -> Vec<Offence>) {
    assert!(!files.is_empty(), "there is no file to look at: has the tree moved?");
    let told: Vec<String> = files
        .iter()
        .flat_map(|file| rule(file).into_iter().map(move |(line, why)| format!("{}:{line}: {why}", file.path)))
        .collect();
    assert!(told.is_empty(), "\n{}\n", told.join("\n"));
}

fn rust_of_the_product() -> Vec<Source> {
    tree(
        &[
            "core/src",
            "app/desk/src",
            "app/no-font-writer/src",
            "app/no-streams/src",
            "app/plain-fonts/src",
            "app/papers/src",
            "app/pocket/src",
            "app/office/src",
            "app/xtask/src",
        ],
        &["rs"],
    )
}

/// Returns the files under some folders with one of these extensions, or all of them.
#[track_caller]
fn tree(folders: &[&str], extensions: &[&str]) -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut found = Vec::new();
    for folder in folders {
        let mut paths = files_under(&root.join(folder));
        paths.sort();
        for path in paths {
            let extension = path.extension().and_then(|it| it.to_str()).unwrap_or_default();
            if extensions.is_empty() || extensions.contains(&extension) {
                let bytes = fs::read(&path).unwrap_or_else(|e| panic!("cannot read {}: {e}", path.display()));
                let path = path.strip_prefix(&root).unwrap_or(&path).to_string_lossy().into_owned();
                found.push(Source { path, text: String::from_utf8_lossy(&bytes).into_owned() });
            }
        }
    }
    found
}

fn files_under(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        let name = entry.file_name();
        match path.is_dir() {
            true if name == "target" || name == "dist" || name == "node_modules" => {}
            true => found.extend(files_under(&path)),
            false => found.push(path),
        }
    }
    found
}

fn starts_with_any(path: &str, heads: &[&str]) -> bool {
    heads.iter().any(|it| path.starts_with(it))
}
