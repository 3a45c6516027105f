//! The last step of a build: makes the staged files one checkable version.
//!
//! 1. Moves the inline start script of `index.html` into a file named by its
//!    hash, so that the page's policy needs no exception for inline scripts, puts
//!    the public address where the page says `{base}`, and takes out the comments.
//! 2. Writes into `sw.js` every staged file with its SHA-256, and a version made
//!    from that list and the worker's own text. `sw.js` itself and the made-up
//!    workbook under `demo/` are not in the list.
//! 3. Refuses a page that breaks the rules: inline script or style, a file of a
//!    foreign origin, an integrity that does not fit its file.
//!
//! The same files give the same stamp, and stamping twice changes nothing more.

use crate::Trouble;
use crate::page::{self, Tag};
use data_encoding::{BASE64, HEXLOWER};
use sha2::{Digest, Sha256, Sha384};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

const PAGE: &str = "index.html";
const WORKER: &str = "sw.js";
/// The script of the second copy, which every start loads.
const COPY: &str = "copy-worker.js";
const BEGIN: &str = "/* stamp:begin */";
const END: &str = "/* stamp:end */";

/// Name and SHA-256 (hexadecimal) of every file of a version, in order of name.
pub type Listing = BTreeMap<String, String>;

/// Stamps the files in `staging` and returns the version.
///
/// # Errors
/// When a file cannot be read or written, or the page breaks a rule.
pub fn stamp(staging: &Path, base: &str) -> Result<String, Trouble> {
    let page = staging.join(PAGE);
    let text = fs::read_to_string(&page).map_err(Trouble::at(&page))?;
    let text = without_idle_integrity(&without_comments(&text).replace("{base}", base))?;
    let text = move_script_out(staging, &text, base)?;
    let text = strip_style(staging, &text, base)?;
    strip(&staging.join(COPY))?;
    check(staging, &text, base)?;
    fs::write(&page, &text).map_err(Trouble::at(&page))?;
    let files = list(staging)?;
    let worker = staging.join(WORKER);
    let text = fs::read_to_string(&worker).map_err(Trouble::at(&worker))?;
    let version = version(&text, &files)?;
    fs::write(&worker, write_list(&text, &version, &files)?).map_err(Trouble::at(&worker))?;
    Ok(version)
}

/// Returns the files of a stamped build with their hashes, as its worker lists them.
///
/// # Errors
/// When the build is not there or was not stamped.
pub fn listed(dist: &Path) -> Result<Listing, Trouble> {
    let worker = dist.join(WORKER);
    let text = fs::read_to_string(&worker).map_err(Trouble::at(&worker))?;
    let (_, stamped, _) = parts(&text)?;
    let list = stamped.split_once("FILES = ").and_then(|(_, list)| list.trim().strip_suffix(';'));
    list.and_then(|list| serde_json::from_str::<serde_json::Value>(list).ok())
        .as_ref()
        .and_then(serde_json::Value::as_object)
        .map(|list| {
            list.iter().map(|(name, hash)| (name.clone(), hash.as_str().unwrap_or_default().to_owned())).collect()
        })
        .ok_or_else(|| Trouble::Page(format!("{WORKER} bears no list of files; build it with cargo xtask serve")))
}

/// Puts the inline module script into a file and lets the page name that file.
fn move_script_out(staging: &Path, page: &str, base: &str) -> Result<String, Trouble> {
    let tags = page::tags(page).map_err(Trouble::Page)?;
    let inline = |tag: &&Tag<'_>| tag.name == "script" && tag.attribute("src").is_none();
    let Some(script) = tags.iter().find(inline) else { return Ok(page.to_owned()) };
    if script.attributes != [("type", "module")] {
        return Err(Trouble::Page("an inline script that is not the start of the app".to_owned()));
    }
    let text = format!("{}\n", script.content.trim());
    let name = format!("start-{}.js", &HEXLOWER.encode(&Sha256::digest(&text))[..16]);
    let file = staging.join(&name);
    fs::write(&file, &text).map_err(Trouble::at(&file))?;
    let (begin, head_end) = script.at;
    let end = head_end + script.content.len();
    let integrity = integrity(text.as_bytes());
    Ok(format!(
        "{}<script type=\"module\" src=\"{base}{name}\" integrity=\"{integrity}\" crossorigin=\"anonymous\">{}",
        &page[..begin],
        &page[end..],
    ))
}

/// Takes out the comments, which are for whoever reads the source and weigh on every first load.
fn without_comments(page: &str) -> String {
    let mut parts = page.split("<!--");
    let mut text = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (_, rest) = part.split_once("-->").unwrap_or_default();
        text.push_str(rest);
    }
    text.lines().filter(|line| !line.trim().is_empty()).collect::<Vec<_>>().join("\n")
}

/// Takes out remarks that stand on lines of their own, in a script or a style, and empty lines.
pub fn without_remarks(text: &str) -> String {
    let mut is_remark = false;
    let stays = |line: &&str| {
        let line = line.trim();
        // A remark before something else on its line stays with it.
        let begins = line.starts_with("/*") && (line.ends_with("*/") || !line.contains("*/"));
        let stays = !(is_remark || begins || line.is_empty() || line.starts_with("//"));
        is_remark = (is_remark || begins) && !line.ends_with("*/");
        stays
    };
    text.lines().filter(stays).flat_map(|line| [line, "\n"]).collect()
}

/// Takes out what lines are set in by, which weighs some hundred bytes in a style or a script even
/// when it is packed; a script with a text over several lines stays as it is.
pub fn without_indents(text: &str) -> String {
    let goes_on = |line: &str| line.matches('`').count() % 2 == 1 || line.ends_with('\\');
    if text.lines().any(goes_on) {
        return text.to_owned();
    }
    text.lines().flat_map(|line| [line.trim_start(), "\n"]).collect()
}

/// Takes the remarks out of a file, if it is there.
fn strip(file: &Path) -> Result<(), Trouble> {
    if file.exists() {
        let text = fs::read_to_string(file).map_err(Trouble::at(file))?;
        fs::write(file, without_remarks(&text)).map_err(Trouble::at(file))?;
    }
    Ok(())
}

/// Takes the remarks out of the page's style, and lets the page name the bytes that are left.
fn strip_style(staging: &Path, page: &str, base: &str) -> Result<String, Trouble> {
    let mut text = page.to_owned();
    for tag in page::tags(page).map_err(Trouble::Page)? {
        let (Some("stylesheet"), Some(name)) = (tag.attribute("rel"), tag.attribute("href")) else { continue };
        let file = staging.join(name.strip_prefix(base).unwrap_or(name));
        strip(&file)?;
        if file.exists() {
            let style = fs::read_to_string(&file).map_err(Trouble::at(&file))?;
            fs::write(&file, without_indents(&style)).map_err(Trouble::at(&file))?;
        }
        if let Some(old) = tag.attribute("integrity") {
            text = text.replace(old, &integrity(&fs::read(&file).map_err(Trouble::at(&file))?));
        }
    }
    Ok(text)
}

/// Takes the integrity from what is preloaded for `fetch`: browsers ignore it there and
/// warn about it at every start. The worker checks these bytes.
fn without_idle_integrity(page: &str) -> Result<String, Trouble> {
    let mut text = page.to_owned();
    for tag in page::tags(page).map_err(Trouble::Page)? {
        if let (Some("fetch"), Some(value)) = (tag.attribute("as"), tag.attribute("integrity")) {
            text = text.replace(&format!(" integrity=\"{value}\" as="), " as=");
        }
    }
    Ok(text)
}

/// Checks every rule of the page.
fn check(staging: &Path, page: &str, base: &str) -> Result<(), Trouble> {
    let broken = |rule: String| Err(Trouble::Page(rule));
    let Some(policy) = page::policy(page) else { return broken("it states no Content-Security-Policy".to_owned()) };
    if policy.contains("'unsafe-inline'") || policy.contains("'unsafe-eval'") {
        return broken("its Content-Security-Policy allows what it is there to forbid".to_owned());
    }
    for tag in page::tags(page).map_err(Trouble::Page)? {
        let name = tag.name;
        if name == "style" || (name == "script" && !tag.content.trim().is_empty()) {
            return broken(format!("an inline {name}"));
        }
        for &(attribute, value) in &tag.attributes {
            if attribute == "style" || attribute.starts_with("on") {
                return broken(format!("<{name}> with the inline attribute {attribute}"));
            }
            if matches!(attribute, "href" | "src" | "srcset" | "action" | "data" | "poster") {
                check_reference(staging, base, &tag, value)?;
            }
        }
    }
    Ok(())
}

/// Checks that a reference is to a staged file, and to the very bytes that the page says.
fn check_reference(staging: &Path, base: &str, tag: &Tag<'_>, value: &str) -> Result<(), Trouble> {
    let broken = |rule: &str| Err(Trouble::Page(format!("<{}> names {value}, {rule}", tag.name)));
    if value.contains(':') || value.starts_with("//") {
        return broken("which is of a foreign origin");
    }
    let name = value.strip_prefix(base).unwrap_or(value).trim_start_matches("./");
    let Ok(bytes) = fs::read(staging.join(name)) else { return broken("which is no file of the build") };
    match tag.attribute("integrity") {
        Some(stated) if stated != integrity(&bytes) => broken("whose integrity does not fit the file"),
        _ => Ok(()),
    }
}

/// Returns what the attribute `integrity` says of a file with these bytes.
pub(crate) fn integrity(bytes: &[u8]) -> String {
    format!("sha384-{}", BASE64.encode(&Sha384::digest(bytes)))
}

/// Lists the files of the version.
fn list(staging: &Path) -> Result<Listing, Trouble> {
    let mut files = Listing::new();
    let mut folders = vec![staging.to_owned()];
    while let Some(folder) = folders.pop() {
        for path in entries(&folder)? {
            let name = name(staging, &path);
            if path.is_dir() {
                folders.extend((name != "demo").then_some(path));
            } else if name != WORKER {
                let bytes = fs::read(&path).map_err(Trouble::at(&path))?;
                files.insert(name, HEXLOWER.encode(&Sha256::digest(&bytes)));
            }
        }
    }
    Ok(files)
}

/// Returns what a folder holds, without the files that systems leave behind.
fn entries(folder: &Path) -> Result<Vec<PathBuf>, Trouble> {
    let read = fs::read_dir(folder).map_err(Trouble::at(folder))?;
    let paths: Result<Vec<_>, _> = read.map(|entry| entry.map(|entry| entry.path())).collect();
    let mut paths = paths.map_err(Trouble::at(folder))?;
    paths.retain(|path| path.file_name().is_some_and(|name| !name.to_string_lossy().starts_with('.')));
    Ok(paths)
}

fn name(staging: &Path, path: &Path) -> String {
    let inside = path.strip_prefix(staging).unwrap_or(path);
    inside.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/")
}

/// Returns the version: another list, or another worker, is another version.
fn version(worker: &str, files: &Listing) -> Result<String, Trouble> {
    let (before, _, after) = parts(worker)?;
    let mut hash = Sha256::new();
    for text in files.iter().flat_map(|(name, hash)| [name.as_str(), hash]).chain([before, after]) {
        hash.update(text);
        hash.update([0]);
    }
    Ok(HEXLOWER.encode(&hash.finalize())[..16].to_owned())
}

fn write_list(worker: &str, version: &str, files: &Listing) -> Result<String, Trouble> {
    let (before, _, after) = parts(worker)?;
    let list = serde_json::to_string_pretty(files)
        .map_err(|reason| Trouble::Page(format!("the list of files could not be written: {reason}")))?;
    Ok(format!("{before}{BEGIN}\nconst VERSION = \"{version}\";\nconst FILES = {list};\n{END}{after}"))
}

/// Cuts the worker at the marks: what stands before, between and after them.
fn parts(worker: &str) -> Result<(&str, &str, &str), Trouble> {
    worker
        .split_once(BEGIN)
        .and_then(|(before, rest)| rest.split_once(END).map(|(stamped, after)| (before, stamped, after)))
        .ok_or_else(|| Trouble::Page(format!("{WORKER} has no place for the list: {BEGIN} … {END}")))
}

#[cfg(test)]
mod tests;
