//! Cuts the built program into what a start needs and what is loaded later.
//!
//! The source marks the functions that begin a part (`app/pocket/src/later.rs`),
//! and the linker keeps which bytes are addresses. From that follows which code
//! and data only a part can reach; it becomes a module of its own, which joins
//! the memory, the stack and the table of the program.
//!
//! Trunk knows one module only, so this is done anew from what cargo linked,
//! and put in the place of what Trunk made of it: cut, wasm-bindgen, wasm-opt.
//! All files of a program bear one hash made from all of them: a part fits the
//! program that it was cut from, and no other.

use crate::page::{self, Tag};
use crate::stamp::{integrity, without_indents, without_remarks};
use crate::{Trouble, run};
use data_encoding::HEXLOWER;
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, HashMap};
use std::fs;
use std::path::{Path, PathBuf};
use wasm_split_cli_support::{Options, transform};

/// The binary's name, with which all of its files begin.
const PROGRAM: &str = "quaywright";
/// Where the uncut program asks for its parts, which no browser would find.
const UNCUT: &str = "__wasm_split_placeholder__";
/// The file that joins parts to the program, before it has its hash.
const JOIN: &str = "join.js";
/// What every module is shrunk with. The lowest kilobyte is the far end of the
/// stack, which nothing points into; and what is called from one place is put
/// there only when it is short, since copies pack badly.
const SHRINK: [&str; 13] = [
    "-Oz",
    "--enable-bulk-memory",
    "--enable-bulk-memory-opt",
    "--enable-nontrapping-float-to-int",
    "--enable-sign-ext",
    "--enable-mutable-globals",
    "--enable-reference-types",
    "--enable-multivalue",
    "--low-memory-unused",
    "--one-caller-inline-max-function-size=60",
    "--strip-debug",
    "--strip-producers",
    "--strip-target-features",
];

/// The files of a program that is cut, each under its plain name.
type Files = BTreeMap<String, Vec<u8>>;

/// Puts the cut program in the place of the uncut one, if the build has parts.
///
/// # Errors
/// When a tool fails, or the build is not what Trunk leaves.
pub fn cut(staging: &Path, public: &str) -> Result<(), Trouble> {
    let Some(uncut) = uncut(staging)? else { return Ok(()) };
    let linked = linked()?;
    let room = linked.with_file_name("parts");
    replace(staging, public, &uncut, &program(&linked, &room)?)
}

/// Takes the uncut program out of a build and puts these files in.
fn replace(staging: &Path, public: &str, uncut: &str, files: &Files) -> Result<(), Trouble> {
    let hash = hash(files);
    for old in [format!("{uncut}.js"), format!("{uncut}_bg.wasm")].map(|name| staging.join(name)) {
        fs::remove_file(&old).map_err(Trouble::at(&old))?;
    }
    for (name, bytes) in files {
        let file = staging.join(hashed(name, &hash));
        fs::write(&file, with_hashes(name, bytes, files, &hash)).map_err(Trouble::at(&file))?;
    }
    let page = staging.join("index.html");
    let text = fs::read_to_string(&page).map_err(Trouble::at(&page))?;
    let text = name_the_cut(staging, &text, public, (uncut, &hash))?;
    fs::write(&page, text).map_err(Trouble::at(&page))
}

/// Returns how the staged files of a program begin that asks for parts.
fn uncut(staging: &Path) -> Result<Option<String>, Trouble> {
    for entry in fs::read_dir(staging).map_err(Trouble::at(staging))? {
        let path = entry.map_err(Trouble::at(staging))?.path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let Some(stem) = name.strip_suffix(".js").filter(|stem| stem.starts_with(PROGRAM)) else { continue };
        if fs::read_to_string(&path).map_err(Trouble::at(&path))?.contains(UNCUT) {
            return Ok(Some(stem.to_owned()));
        }
    }
    Ok(None)
}

/// Returns the program as cargo linked it; only the profile `web` leaves marks for cutting.
fn linked() -> Result<PathBuf, Trouble> {
    let told = run::hear(&mut run::cargo(&["metadata", "--no-deps", "--offline", "--format-version", "1"]))?;
    let told: serde_json::Value = serde_json::from_str(&told)
        .map_err(|reason| Trouble::Other(format!("cargo metadata was not understood: {reason}")))?;
    let target = told["target_directory"].as_str().unwrap_or("target");
    Ok([target, "wasm32-unknown-unknown", "web", &format!("{PROGRAM}.wasm")].iter().collect())
}

/// Makes the files of the cut program in `room`.
fn program(linked: &Path, room: &Path) -> Result<Files, Trouble> {
    fs::remove_dir_all(room).ok();
    fs::create_dir_all(room).map_err(Trouble::at(room))?;
    let input = fs::read(linked).map_err(Trouble::at(linked))?;
    let main = room.join("main.wasm");
    let join_path = format!("./{JOIN}");
    let mut options = Options::new(&input);
    options.output_dir = room;
    options.main_out_path = &main;
    options.link_name = &join_path;
    options.emit_dwarf = false;
    let cut = transform(options).map_err(|reason| Trouble::Other(format!("the program was not cut: {reason:#}")))?;
    bind(&main, room)?;

    let mut files = Files::new();
    let glue = format!("{PROGRAM}.js");
    let read = |path: &Path| fs::read(path).map_err(Trouble::at(path));
    let script = fs::read_to_string(room.join(&glue)).map_err(Trouble::at(room))?;
    files.insert(glue, without_indents(&without_remarks(&script)).into_bytes());
    files.insert(JOIN.to_owned(), without_remarks(&join(&cut.prefetch_map)).into_bytes());
    let program = format!("{PROGRAM}_bg.wasm");
    let parts =
        cut.split_modules.iter().map(|path| path.file_name().unwrap_or_default().to_string_lossy().into_owned());
    for name in parts.chain([program]) {
        let small = room.join(format!("small-{name}"));
        run::show(run::command("wasm-opt", &SHRINK).arg("-o").arg(&small).arg(room.join(&name)))?;
        files.insert(name, read(&small)?);
    }
    Ok(files)
}

fn bind(main: &Path, room: &Path) -> Result<(), Trouble> {
    // The table is what the linker exports, and where parts find the program's functions.
    let words = ["--target=web", "--no-typescript", "--keep-lld-exports", "--out-name", PROGRAM, "--out-dir"];
    run::show(run::command("wasm-bindgen", &words).arg(room).arg(main))
}

/// Returns the script that joins parts: for each, the files that it is made of.
fn join(parts: &HashMap<String, Vec<String>>) -> String {
    let mut text = include_str!("parts/join.js").replace("PROGRAM", PROGRAM);
    let sorted: BTreeMap<_, _> = parts.iter().collect();
    for (part, files) in sorted {
        let files: Vec<_> = files.iter().map(|file| format!("\"./{file}.wasm\"")).collect();
        text += &format!("export const __wasm_split_load_{part} = join({});\n", files.join(", "));
    }
    text
}

fn hash(files: &Files) -> String {
    let mut hash = Sha256::new();
    for (name, bytes) in files {
        hash.update(name);
        hash.update([0]);
        hash.update((bytes.len() as u64).to_be_bytes());
        hash.update(bytes);
    }
    HEXLOWER.encode(&hash.finalize())[..16].to_owned()
}

/// Returns a file's name with the hash.
fn hashed(name: &str, hash: &str) -> String {
    match name.strip_prefix(PROGRAM) {
        Some(end) => format!("{PROGRAM}-{hash}{end}"),
        None => format!("{PROGRAM}-{hash}-{}", name.strip_prefix("split_").unwrap_or(name)),
    }
}

/// Returns a script with the names of the others as they are now; modules name none.
fn with_hashes(name: &str, bytes: &[u8], files: &Files, hash: &str) -> Vec<u8> {
    match std::str::from_utf8(bytes) {
        Ok(text) if name.ends_with(".js") => {
            // The program asks for the other script by its plain name too, in its list of imports: that stays.
            let named = |text: String, other: &String| {
                let before = if other.ends_with(".js") { "from " } else { "" };
                let now = hashed(other, hash);
                text.replace(&format!("{before}\"./{other}\""), &format!("{before}\"./{now}\""))
            };
            files.keys().fold(text.to_owned(), named).into_bytes()
        }
        _ => bytes.to_owned(),
    }
}

/// Lets the page name the cut program where it names the uncut one.
fn name_the_cut(staging: &Path, page: &str, public: &str, (uncut, hash): (&str, &str)) -> Result<String, Trouble> {
    let now = format!("{PROGRAM}-{hash}");
    let mut text = page.replace(uncut, &now);
    let tags = page::tags(page).map_err(Trouble::Page)?;
    for tag in tags.iter().filter(|tag| names(tag, uncut)) {
        let file = tag.attribute("href").unwrap_or_default().replace(uncut, &now);
        let file = staging.join(file.strip_prefix(public).unwrap_or(&file));
        let bytes = fs::read(&file).map_err(Trouble::at(&file))?;
        if let Some(old) = tag.attribute("integrity") {
            text = text.replace(old, &integrity(&bytes));
        }
    }
    // The program imports the script that joins: without this it would be asked for one way later.
    let join = staging.join(hashed(JOIN, hash));
    let stated = integrity(&fs::read(&join).map_err(Trouble::at(&join))?);
    let link = format!(
        "<link rel=\"modulepreload\" href=\"{public}{}\" crossorigin=\"anonymous\" integrity=\"{stated}\">",
        hashed(JOIN, hash)
    );
    Ok(text.replacen("</head>", &format!("{link}</head>"), 1))
}

fn names(tag: &Tag<'_>, program: &str) -> bool {
    tag.attribute("href").is_some_and(|name| name.contains(program))
}

#[cfg(test)]
mod tests;
