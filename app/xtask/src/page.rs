//! Reading our own built page: its tags, their attributes, its policy.
//!
//! Not a reader of HTML at large. The page is written by us and by Trunk, so a
//! scanner for well-formed tags is enough, and what it does not understand it
//! reports instead of guessing.

/// One opening tag of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tag<'page> {
    /// The element's name, as written.
    pub name: &'page str,
    /// The attributes in order; one without a value has an empty one.
    pub attributes: Vec<(&'page str, &'page str)>,
    /// The text from this tag to the next `<`; of a script or style, all of its content.
    pub content: &'page str,
    /// Where the tag begins and ends in the page, in bytes.
    pub at: (usize, usize),
}

impl<'page> Tag<'page> {
    /// Returns the value of an attribute.
    pub fn attribute(&self, name: &str) -> Option<&'page str> {
        self.attributes.iter().find(|(known, _)| known.eq_ignore_ascii_case(name)).map(|(_, value)| *value)
    }
}

/// Returns the opening tags of a page in order; comments are passed over.
///
/// # Errors
/// Says what could not be read, and where.
pub fn tags(page: &str) -> Result<Vec<Tag<'_>>, String> {
    let mut tags = Vec::new();
    let mut from = 0;
    while let Some(offset) = page[from..].find('<') {
        let at = from + offset;
        let rest = &page[at..];
        if rest.starts_with("<!--") {
            from = at + rest.find("-->").ok_or_else(|| unread(page, at))? + 3;
        } else if rest.starts_with("</") || rest.starts_with("<!") {
            from = at + rest.find('>').ok_or_else(|| unread(page, at))? + 1;
        } else {
            let tag = tag(page, at).ok_or_else(|| unread(page, at))?;
            from = tag.at.1 + tag.content.len();
            tags.push(tag);
        }
    }
    Ok(tags)
}

/// Returns the Content-Security-Policy that a page states for itself.
pub fn policy(page: &str) -> Option<String> {
    let metas = tags(page).ok()?;
    let meta = metas.iter().find(|tag| {
        tag.attribute("http-equiv").is_some_and(|value| value.eq_ignore_ascii_case("content-security-policy"))
    })?;
    // Trunk writes the quotes inside an attribute as entities.
    meta.attribute("content").map(|value| value.replace("&#39;", "'").replace("&#x27;", "'").replace("&apos;", "'"))
}

fn tag(page: &str, at: usize) -> Option<Tag<'_>> {
    let mut cursor = at + 1;
    let name = take(page, &mut cursor, |it| it.is_ascii_alphanumeric() || it == '-')?;
    let mut attributes = Vec::new();
    loop {
        take(page, &mut cursor, |it| it.is_ascii_whitespace() || it == '/');
        if page[cursor..].starts_with('>') {
            cursor += 1;
            break;
        }
        let name = take(page, &mut cursor, |it| !it.is_ascii_whitespace() && !"=>/\"'".contains(it))?;
        attributes.push((name, value(page, &mut cursor)?));
    }
    let content = content(page, cursor, name)?;
    Some(Tag { name, attributes, content, at: (at, cursor) })
}

/// Takes `="…"` if it is there.
fn value<'page>(page: &'page str, cursor: &mut usize) -> Option<&'page str> {
    let Some(rest) = page[*cursor..].strip_prefix('=') else { return Some("") };
    let quote = rest.chars().next().filter(|it| "\"'".contains(*it))?;
    let value = rest[1..].split(quote).next()?;
    *cursor += value.len() + 3;
    page.is_char_boundary(*cursor).then_some(value)
}

fn content<'page>(page: &'page str, from: usize, name: &str) -> Option<&'page str> {
    let rest = &page[from..];
    let end = match name {
        "script" | "style" => rest.find(&format!("</{name}"))?,
        _ => rest.find('<').unwrap_or(rest.len()),
    };
    Some(&rest[..end])
}

fn take<'page>(page: &'page str, cursor: &mut usize, wanted: impl Fn(char) -> bool) -> Option<&'page str> {
    let rest = &page[*cursor..];
    let end = rest.find(|it| !wanted(it)).unwrap_or(rest.len());
    *cursor += end;
    (end > 0).then(|| &rest[..end])
}

fn unread(page: &str, at: usize) -> String {
    let line = page[..at].lines().count().max(1);
    let shown: String = page[at..].chars().take(40).collect();
    format!("line {line} could not be read: {shown}")
}

#[cfg(test)]
mod tests {
    use super::{policy, tags};

    #[test]
    fn tags_and_attributes_are_read() {
        let page =
            "<!DOCTYPE html>\n<html lang=\"en\"><!-- <b> --><link rel='icon' href=\"a.svg\" /><p hidden>Hi</p></html>";
        let read = tags(page).unwrap();
        let names: Vec<_> = read.iter().map(|tag| tag.name).collect();
        assert_eq!(names, ["html", "link", "p"]);
        assert_eq!(read[1].attributes, [("rel", "icon"), ("href", "a.svg")]);
        assert_eq!(read[2].attribute("hidden"), Some(""));
        assert_eq!(read[2].content, "Hi");
    }

    #[test]
    fn a_script_is_read_to_its_end() {
        let page = "<script type=\"module\">if (1 < 2) { \"<p>\" }</script><p>after</p>";
        let read = tags(page).unwrap();
        assert_eq!(read.len(), 2);
        assert_eq!(read[0].content, "if (1 < 2) { \"<p>\" }");
    }

    #[test]
    fn what_is_not_understood_is_named() {
        for broken in ["<p class=bare>", "<script>never closed", "<!-- never closed", "<p class=\"open"] {
            assert!(tags(broken).unwrap_err().starts_with("line 1 could not be read: <"), "{broken}");
        }
    }

    #[test]
    fn the_policy_is_found() {
        let page = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\">";
        assert_eq!(policy(page).as_deref(), Some("default-src 'none'"));
        assert_eq!(policy("<p>none</p>"), None);
    }
}
