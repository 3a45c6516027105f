//! What a document is made of, for whoever cannot see it: the tags of a PDF.
//!
//! Each block says what it is (heading, list, table, figure with words for it);
//! what only decorates belongs to no node. The order of the tree is the order
//! of reading (ISO 14289-1, PDF/UA).

use std::num::NonZeroU16;

use krilla::tagging::{Identifier, ListNumbering, Node as Leaf, TableHeaderScope, Tag, TagGroup, TagKind, TagTree};

/// What a node is.
#[derive(Clone, Debug)]
pub(super) enum Kind {
    /// Its level, and what it says.
    Heading(u16, String),
    Paragraph,
    List,
    Item,
    Label,
    Body,
    Table,
    Row,
    HeadCell,
    Cell,
    /// With words for what it shows.
    Figure(String),
    Caption,
}

/// The name of a node.
#[derive(Clone, Copy, Debug)]
pub(super) struct NodeId(usize);

/// The place of a mark: its page and its number there.
pub(super) type Place = (usize, usize);

enum Child {
    Node(usize),
    Mark(Place),
}

struct Node {
    kind: Kind,
    /// What it says, where not all of it could be drawn.
    said: Option<String>,
    children: Vec<Child>,
}

/// The tree of a document.
#[derive(Default)]
pub(super) struct Tree {
    nodes: Vec<Node>,
    roots: Vec<usize>,
}

impl Tree {
    /// Adds a node at the end of `parent`, or of the document.
    pub(super) fn grow(&mut self, parent: Option<NodeId>, kind: Kind) -> NodeId {
        let id = self.nodes.len();
        self.nodes.push(Node { kind, said: None, children: Vec::new() });
        match parent.and_then(|parent| self.nodes.get_mut(parent.0)) {
            Some(parent) => parent.children.push(Child::Node(id)),
            None => self.roots.push(id),
        }
        NodeId(id)
    }

    /// Says what a node says that could not be drawn whole.
    pub(super) fn say(&mut self, node: NodeId, text: &str) {
        if let Some(node) = self.nodes.get_mut(node.0) {
            node.said = Some(text.to_owned());
        }
    }

    /// Adds a mark to a node.
    pub(super) fn mark(&mut self, node: NodeId, place: Place) {
        if let Some(node) = self.nodes.get_mut(node.0) {
            node.children.push(Child::Mark(place));
        }
    }

    /// Returns the tree as it is written; `identifiers` are those of the drawn marks.
    pub(super) fn written(&self, identifiers: &[Vec<Identifier>]) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
        self.roots.iter().filter_map(|&root| self.group(root, identifiers)).for_each(|group| tree.push(group));
        tree
    }

    fn group(&self, id: usize, identifiers: &[Vec<Identifier>]) -> Option<TagGroup> {
        let node = self.nodes.get(id)?;
        let mut group = TagGroup::new(tag(&node.kind).with_actual_text(node.said.clone()));
        for child in &node.children {
            let child: Option<Leaf> = match child {
                Child::Node(id) => self.group(*id, identifiers).map(Into::into),
                Child::Mark((page, number)) => {
                    identifiers.get(*page).and_then(|page| page.get(*number)).map(|&identifier| identifier.into())
                }
            };
            child.into_iter().for_each(|child| group.push(child));
        }
        Some(group)
    }
}

fn tag(kind: &Kind) -> TagKind {
    match kind {
        Kind::Heading(level, title) => {
            Tag::Hn(NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN), Some(title.clone())).into()
        }
        Kind::Paragraph => Tag::P.into(),
        Kind::List => Tag::L(ListNumbering::None).into(),
        Kind::Item => Tag::LI.into(),
        Kind::Label => Tag::Lbl.into(),
        Kind::Body => Tag::LBody.into(),
        Kind::Table => Tag::Table.into(),
        Kind::Row => Tag::TR.into(),
        Kind::HeadCell => Tag::TH(TableHeaderScope::Column).into(),
        Kind::Cell => Tag::TD.into(),
        Kind::Figure(alt) => Tag::Figure(Some(alt.clone())).into(),
        Kind::Caption => Tag::Caption.into(),
    }
}
