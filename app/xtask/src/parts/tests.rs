//! A cut program, put into a made-up build.

use super::{Files, JOIN, SHRINK, join, replace, uncut};
use crate::page;
use crate::run::root;
use crate::stamp::integrity;
use std::collections::HashMap;
use std::fs;
use tempfile::TempDir;

const UNCUT: &str = "quaywright-pocket-0011";

fn built() -> TempDir {
    let folder = TempDir::new().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    write(&format!("{UNCUT}.js"), "import * as import1 from \"__wasm_split_placeholder__\"");
    write(&format!("{UNCUT}_bg.wasm"), "whole");
    write("papers.js", "no part in it");
    let old = integrity(b"old");
    write(
        "index.html",
        &format!(
            "<head><link rel=\"modulepreload\" href=\"/{UNCUT}.js\" integrity=\"{old}\">\
             <link rel=\"preload\" href=\"/{UNCUT}_bg.wasm\" as=\"fetch\"></head>\
             <script type=\"module\">import start from \"/{UNCUT}.js\";</script>"
        ),
    );
    folder
}

fn program(part: &str) -> Files {
    let parts = HashMap::from([("later".to_owned(), vec!["chunk_1".to_owned(), "split_later".to_owned()])]);
    let glue = "import * as import1 from \"./join.js\"\nreturn { \"./join.js\": import1 };\n";
    let files = [
        ("quaywright.js", glue.to_owned()),
        ("quaywright_bg.wasm", "main".to_owned()),
        (JOIN, join(&parts)),
        ("chunk_1.wasm", "shared".to_owned()),
        ("split_later.wasm", part.to_owned()),
    ];
    files.into_iter().map(|(name, text)| (name.to_owned(), text.into_bytes())).collect()
}

/// Puts the program into a build; returns the names of the files and their texts.
fn replaced(part: &str) -> Vec<(String, String)> {
    let folder = built();
    assert_eq!(uncut(folder.path()).unwrap().as_deref(), Some(UNCUT));
    replace(folder.path(), "/", UNCUT, &program(part)).unwrap();
    let mut files: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap())
        .map(|entry| (entry.file_name().into_string().unwrap(), fs::read_to_string(entry.path()).unwrap()))
        .collect();
    files.sort();
    files
}

fn of<'files>(files: &'files [(String, String)], end: &str) -> &'files (String, String) {
    files.iter().find(|(name, _)| name.starts_with("quaywright") && name.ends_with(end)).unwrap()
}

#[test]
fn every_file_of_the_program_bears_the_same_hash() {
    let files = replaced("part");
    let hash = of(&files, "_bg.wasm").0.strip_suffix("_bg.wasm").unwrap();
    let names: Vec<_> = files.iter().filter(|(name, _)| name.starts_with("quaywright")).collect();
    assert_eq!(names.len(), 5);
    assert!(names.iter().all(|(name, _)| name.starts_with(hash)), "{names:?}");
    let other = replaced("another part");
    assert_ne!(of(&other, "_bg.wasm").0, of(&files, "_bg.wasm").0, "a part of another program");
    assert_eq!(replaced("part"), files);
}

#[test]
fn the_scripts_name_the_files_as_they_are_now() {
    let files = replaced("part");
    let name = |end: &str| of(&files, end).0.clone();
    let joining = &of(&files, "-join.js").1;
    assert!(
        joining.contains(&format!("join(\"./{}\", \"./{}\")", name("-chunk_1.wasm"), name("-later.wasm"))),
        "{joining}"
    );
    let program = name("_bg.wasm").replace("_bg.wasm", ".js");
    assert!(joining.contains(&format!("import {{ initSync }} from \"./{program}\";")), "{joining}");
    let (_, glue) = files.iter().find(|(name, _)| *name == program).unwrap();
    // The list of imports goes by the plain name, which stands in the module.
    let expected =
        format!("import * as import1 from \"./{}\"\nreturn {{ \"./join.js\": import1 }};\n", name("-join.js"));
    assert_eq!(*glue, expected);
}

#[test]
fn the_page_names_the_cut_program_and_the_bytes_it_has() {
    let files = replaced("part");
    let (_, page) = files.iter().find(|(name, _)| name == "index.html").unwrap();
    assert!(!page.contains(UNCUT), "{page}");
    let links: Vec<_> = page::tags(page).unwrap().into_iter().filter(|tag| tag.name == "link").collect();
    assert_eq!(links.len(), 3);
    for link in links {
        let name = link.attribute("href").unwrap().strip_prefix('/').unwrap();
        let (_, text) = files.iter().find(|(known, _)| known == name).unwrap();
        if let Some(stated) = link.attribute("integrity") {
            assert_eq!(stated, integrity(text.as_bytes()), "{name}");
        }
    }
}

#[test]
fn a_build_without_parts_is_left_as_it_is() {
    let folder = built();
    fs::write(folder.path().join(format!("{UNCUT}.js")), "nothing to ask for").unwrap();
    assert_eq!(uncut(folder.path()).unwrap(), None);
}

#[test]
fn the_documents_are_shrunk_as_the_program_is() {
    let page = fs::read_to_string(root().join("app/pocket/index.html")).unwrap();
    let features = SHRINK[1..].join(" ");
    assert!(page.contains(&format!("data-wasm-opt-params=\"{features}\"")), "index.html: not {features}");
}
