//! Finding a thing on a page, as a person or an assistive program names it.
//!
//! Role and name are the ones that Chromium itself computes for its
//! accessibility tree, so a control that these tests can find is a control
//! that a screen reader can find.

use std::fmt;
use std::thread::sleep;
use std::time::Instant;

use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::{POLL, Page, SOON, value_of};
use crate::failure::{Failure, must};

/// Any role that can be tapped or filled in.
pub const ANY: &str = "any";

/// What can be tapped, in Chromium's own words for roles.
const ROLES: [&str; 16] = [
    "button",
    "link",
    "tab",
    "checkbox",
    "radio",
    "switch",
    "menuitem",
    "option",
    "textbox",
    "searchbox",
    "combobox",
    "spinbutton",
    "slider",
    "DisclosureTriangle",
    "DisclosureTriangleGrouped",
    "LabelText",
];
/// What takes text or a choice.
pub(super) const FIELDS: [&str; 10] = [
    "textbox",
    "searchbox",
    "combobox",
    "spinbutton",
    "slider",
    "listbox",
    "Date",
    "DateTime",
    "InputTime",
    "ColorWell",
];

/// What is looked for.
pub enum Sought<'a> {
    /// The first match of a selector.
    Css(&'a str),
    /// The first visible thing of one of these roles (all when empty) with exactly this name.
    Named(&'a [&'a str], &'a str),
    /// What an expression returns, for things that no name alone tells apart.
    Said(&'a str),
}

impl fmt::Display for Sought<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Css(css) | Self::Said(css) => write!(f, "`{css}`"),
            Self::Named([role], name) => write!(f, "{role} named “{name}”"),
            Self::Named(_, name) => write!(f, "control named “{name}”"),
        }
    }
}

/// One element of a page.
pub struct Element<'p> {
    page: &'p Page,
    object: String,
}

impl Page {
    /// Waits for an element, and ends the test when it does not come.
    #[track_caller]
    pub(super) fn element(&self, sought: &Sought) -> Element<'_> {
        let deadline = Instant::now() + SOON;
        let mut last = None;
        while Instant::now() < deadline {
            match self.find(sought) {
                Ok(Some(element)) => return element,
                Ok(None) => {}
                Err(gone @ (Failure::Gone(_) | Failure::Crashed(_))) => panic!("{gone}"),
                Err(other) => last = Some(other),
            }
            sleep(POLL);
        }
        let last = last.map(|it| format!(" ({it})")).unwrap_or_default();
        panic!("no {sought} within {SOON:?}{last}; {}", self.describe());
    }

    /// Returns true when a thing of this role ([`ANY`] for all) and name can be seen now.
    #[track_caller]
    pub fn shows(&self, role: &str, name: &str) -> bool {
        must(self.find(&Sought::Named(&roles(role), name))).is_some()
    }

    /// Returns the element if it is there now.
    pub(super) fn find(&self, sought: &Sought) -> Result<Option<Element<'_>>, Failure> {
        match sought {
            Sought::Css(css) => {
                self.objects(&format!("[document.querySelector({})]", json!(css))).map(|it| it.into_iter().next())
            }
            Sought::Said(js) => self.objects(&format!("[{js}]")).map(|it| it.into_iter().next()),
            Sought::Named(roles, name) => {
                for element in self.named(roles, name)? {
                    if element.is_visible()? {
                        return Ok(Some(element));
                    }
                }
                Ok(None)
            }
        }
    }

    fn named(&self, roles: &[&str], name: &str) -> Result<Vec<Element<'_>>, Failure> {
        let document = self.object("document")?;
        let answer = self.call("Accessibility.queryAXTree", json!({ "objectId": document, "accessibleName": name }))?;
        let nodes = answer["nodes"].as_array().cloned().unwrap_or_default();
        let wanted = if roles.is_empty() { &ROLES[..] } else { roles };
        let mut found = Vec::new();
        for node in nodes.iter().filter(|it| is_wanted(it, wanted)) {
            let resolved = self.call("DOM.resolveNode", json!({ "backendNodeId": node["backendDOMNodeId"] }))?;
            let object = resolved["object"]["objectId"].as_str().unwrap_or_default().to_owned();
            found.push(Element { page: self, object });
        }
        if wanted.contains(&"LabelText") {
            // A label's own words are no accessible name; a person taps it by them all the same.
            found.extend(self.objects(&format!(
                "[...document.querySelectorAll('label')].filter(it => it.innerText.trim() === {})",
                json!(name)
            ))?);
        }
        Ok(found)
    }

    /// Returns the elements in an array that an expression makes, without its nulls.
    fn objects(&self, js: &str) -> Result<Vec<Element<'_>>, Failure> {
        let array = self.object(&format!("({js}).filter(Boolean)"))?;
        let answer = self.call("Runtime.getProperties", json!({ "objectId": array, "ownProperties": true }))?;
        let items = answer["result"].as_array().cloned().unwrap_or_default();
        let objects = items.iter().filter(|it| it["name"].as_str().is_some_and(|it| it.parse::<u32>().is_ok()));
        let ids = objects.filter_map(|it| it["value"]["objectId"].as_str());
        Ok(ids.map(|object| Element { page: self, object: object.to_owned() }).collect())
    }

    fn object(&self, js: &str) -> Result<String, Failure> {
        let answer = self.call("Runtime.evaluate", json!({ "expression": js }))?;
        match answer["result"]["objectId"].as_str() {
            Some(id) => Ok(id.to_owned()),
            None => value_of::<Value>(answer).map(|it| it.to_string()),
        }
    }
}

impl Element<'_> {
    /// Runs a function with `this` as the element, waits for its promise, and returns the value.
    pub fn ask<T: DeserializeOwned>(&self, function: &str, arguments: &[Value]) -> Result<T, Failure> {
        let arguments: Vec<Value> = arguments.iter().map(|it| json!({ "value": it })).collect();
        value_of(self.page.call(
            "Runtime.callFunctionOn",
            json!({
                "objectId": self.object, "functionDeclaration": function, "arguments": arguments,
                "awaitPromise": true, "returnByValue": true,
            }),
        )?)
    }

    /// Returns the handle that commands take as `objectId`.
    pub fn object(&self) -> &str {
        &self.object
    }

    fn is_visible(&self) -> Result<bool, Failure> {
        self.ask("function () { return this.isConnected && this.checkVisibility({ visibilityProperty: true }); }", &[])
    }
}

/// Returns the roles to look among.
pub(super) fn roles(role: &str) -> Vec<&str> {
    if role == ANY { Vec::new() } else { vec![role] }
}

fn is_wanted(node: &Value, roles: &[&str]) -> bool {
    let role = node["role"]["value"].as_str().unwrap_or_default();
    node["ignored"] != true && roles.contains(&role)
}
