//! The stamp, put on a made-up build.

use super::{integrity, listed, stamp, without_indents, without_remarks};
use crate::run::root;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const POLICY: &str = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\">";
const SCRIPT: &str = "<script type=\"module\">\nimport \"/app.js\";\n</script>";
const WORKER: &str = "// before\n/* stamp:begin */\nconst VERSION = \"unstamped\";\n/* stamp:end */\n// after\n";

fn staged(page: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
    for inner in ["icons", "demo"] {
        fs::create_dir(folder.path().join(inner)).unwrap();
    }
    write("index.html", page);
    write("app.js", "app");
    write("icons/any.svg", "<svg/>");
    write("demo/backup.jsonl", "{}");
    write(".DS_Store", "left by a system");
    write("sw.js", WORKER);
    folder
}

fn good_page() -> String {
    let integrity = integrity(b"app");
    format!(
        "{POLICY}<link rel=\"icon\" href=\"{{base}}icons/any.svg\"><link rel=\"modulepreload\" href=\"/app.js\" integrity=\"{integrity}\">{SCRIPT}"
    )
}

fn read(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join(name)).unwrap()
}

#[test]
fn the_start_script_gets_a_file_of_its_own() {
    let folder = staged(&good_page());
    stamp(folder.path(), "/").unwrap();
    let page = read(folder.path(), "index.html");
    let names: Vec<_> = listed(folder.path()).unwrap().into_keys().collect();
    let start = names.iter().find(|name| name.starts_with("start-")).unwrap();
    assert_eq!(read(folder.path(), start), "import \"/app.js\";\n");
    let integrity = integrity(b"import \"/app.js\";\n");
    let tag = format!(
        "<script type=\"module\" src=\"/{start}\" integrity=\"{integrity}\" crossorigin=\"anonymous\"></script>"
    );
    assert!(page.ends_with(&tag), "{page}");
    assert!(page.contains("href=\"/icons/any.svg\""), "{page}");
}

#[test]
fn remarks_of_a_script_are_not_served() {
    let text =
        "// why\nconst a = \"// no remark\"; // stays\n\n  /* and\n  why */\n  b(); /* stays */\n/* stays */ c();\n";
    assert_eq!(without_remarks(text), "const a = \"// no remark\"; // stays\n  b(); /* stays */\n/* stays */ c();\n");
}

#[test]
fn indents_of_a_script_are_not_served_unless_a_text_goes_on_over_them() {
    assert_eq!(without_indents("a();\n  b(`in ${c} one`);\n"), "a();\nb(`in ${c} one`);\n");
    for text in ["a(`one\n  two`);\n", "a('one \\\n  two');\n"] {
        assert_eq!(without_indents(text), text);
    }
}

#[test]
fn a_style_is_served_without_remarks_and_indents_and_named_as_it_is() {
    let written = "/* why */\np {\n  /* and why */\n  margin: 0 1rem;\n}\n";
    let old = integrity(written.as_bytes());
    let link = |integrity: &str| format!("<link rel=\"stylesheet\" href=\"/style.css\" integrity=\"{integrity}\">");
    let folder = staged(&format!("{POLICY}{}", link(&old)));
    fs::write(folder.path().join("style.css"), written).unwrap();
    stamp(folder.path(), "/").unwrap();
    let served = "p {\nmargin: 0 1rem;\n}\n";
    assert_eq!(read(folder.path(), "style.css"), served);
    assert_eq!(read(folder.path(), "index.html"), format!("{POLICY}{}", link(&integrity(served.as_bytes()))));
}

#[test]
fn comments_of_the_page_are_not_served() {
    let folder = staged(&format!("<!-- why -->\n  \n{POLICY}<p>kept</p>\n<!-- and\nwhy --><p>too</p>"));
    stamp(folder.path(), "/").unwrap();
    assert_eq!(read(folder.path(), "index.html"), format!("{POLICY}<p>kept</p>\n<p>too</p>"));
}

#[test]
fn only_an_integrity_that_browsers_heed_is_kept() {
    let integrity = integrity(b"app");
    let link = |rel: &str, as_: &str| format!("<link rel=\"{rel}\" href=\"/app.js\" integrity=\"{integrity}\"{as_}>");
    let page = format!("{POLICY}{}{}", link("modulepreload", ""), link("preload", " as=\"fetch\""));
    let folder = staged(&page);
    stamp(folder.path(), "/").unwrap();
    let page = read(folder.path(), "index.html");
    assert!(page.contains(&link("modulepreload", "")), "{page}");
    assert!(page.contains("<link rel=\"preload\" href=\"/app.js\" as=\"fetch\">"), "{page}");
}

#[test]
fn the_worker_lists_the_version_and_nothing_beside_it() {
    let folder = staged(&good_page());
    let version = stamp(folder.path(), "/").unwrap();
    let worker = read(folder.path(), "sw.js");
    assert!(worker.starts_with("// before\n/* stamp:begin */\n"), "{worker}");
    assert!(worker.contains(&format!("const VERSION = \"{version}\";")), "{worker}");
    assert!(worker.ends_with("/* stamp:end */\n// after\n"), "{worker}");
    let files = listed(folder.path()).unwrap();
    let names: Vec<_> = files.keys().filter(|name| !name.starts_with("start-")).collect();
    assert_eq!(names, ["app.js", "icons/any.svg", "index.html"]);
    // printf app | sha256sum
    assert_eq!(files["app.js"], "a172cedcae47474b615c54d510a5d84a8dea3032e958587430b413538be3f333");
}

#[test]
fn the_same_files_give_the_same_stamp() {
    let (one, two) = (staged(&good_page()), staged(&good_page()));
    let version = stamp(one.path(), "/").unwrap();
    assert_eq!(stamp(two.path(), "/").unwrap(), version);
    assert_eq!(stamp(one.path(), "/").unwrap(), version, "stamped twice");
    assert_eq!(read(one.path(), "sw.js"), read(two.path(), "sw.js"));
}

#[test]
fn another_file_or_another_worker_is_another_version() {
    let folder = staged(&good_page());
    let first = stamp(folder.path(), "/").unwrap();
    fs::write(folder.path().join("icons/any.svg"), "<svg />").unwrap();
    let second = stamp(folder.path(), "/").unwrap();
    fs::write(folder.path().join("sw.js"), WORKER.replace("after", "behind")).unwrap();
    let third = stamp(folder.path(), "/").unwrap();
    assert!(first != second && second != third && third != first);
}

#[test]
fn a_page_that_breaks_a_rule_is_refused() {
    let with = |more: &str| format!("{POLICY}{more}");
    for (page, rule) in [
        (SCRIPT.to_owned(), "no Content-Security-Policy"),
        (POLICY.replace("'none'", "'unsafe-inline'"), "allows what it is there to forbid"),
        (with("<style>p { color: red }</style>"), "an inline style"),
        (with("<script>alert(1)</script>"), "not the start of the app"),
        (with(&SCRIPT.repeat(2)), "an inline script"),
        (with("<p style=\"color: red\">"), "inline attribute style"),
        (with("<p onclick=\"go()\">"), "inline attribute onclick"),
        (with("<img src=\"https://elsewhere.example/a.png\">"), "foreign origin"),
        (with("<link href=\"//elsewhere.example/a.css\">"), "foreign origin"),
        (with("<link href=\"/missing.css\">"), "no file of the build"),
        (with("<link href=\"/app.js\" integrity=\"sha384-AAAA\">"), "does not fit the file"),
    ] {
        let folder = staged(&page);
        let trouble = stamp(folder.path(), "/").unwrap_err().to_string();
        assert!(trouble.contains(rule), "{page}: {trouble}");
        assert_eq!(read(folder.path(), "sw.js"), WORKER, "a refused build is not stamped");
    }
}

#[test]
fn a_build_under_a_longer_address_is_checked_too() {
    let page = good_page().replace("\"/app.js\" integrity", "\"/shop/app.js\" integrity");
    let folder = staged(&page);
    stamp(folder.path(), "/shop/").unwrap();
    assert!(read(folder.path(), "index.html").contains("src=\"/shop/start-"));
}

#[test]
fn our_own_worker_has_a_place_for_the_list() {
    let folder = staged(&good_page());
    fs::copy(root().join("public/sw.js"), folder.path().join("sw.js")).unwrap();
    let version = stamp(folder.path(), "/").unwrap();
    assert!(read(folder.path(), "sw.js").contains(&version));
    assert!(!read(folder.path(), "sw.js").contains("unstamped"));
}
