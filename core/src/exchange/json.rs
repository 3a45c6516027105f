//! JSON as a tree: what stands between our forms and their bytes.
//!
//! A form is written by putting fields into a tree, in their order, and read by
//! taking them out by name, in any order; [`Fields::end`] refuses what is left,
//! because a reader that skips what it does not understand would count wrongly.
//! Bytes are the library's work. It reads into this one type: a derived reader
//! for each of some forty forms was an eighth of all that a phone had to load.

use std::borrow::Cow;
use std::fmt;

use serde::de::{Deserialize, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde::ser::{Serialize, Serializer};

/// A value. Of numbers only whole ones occur in our forms.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Json<'a> {
    Null,
    Bool(bool),
    Number(u64),
    Negative(i64),
    Text(Cow<'a, str>),
    List(Vec<Json<'a>>),
    Object(Fields<'a>),
}

/// The fields of an object, in their order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Fields<'a>(Vec<(Cow<'a, str>, Json<'a>)>);

/// Why a tree is not the form that was looked for.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum Wrong {
    #[error("{0}")]
    Syntax(String),
    #[error("no `{0}` is named")]
    Missing(&'static str),
    #[error("`{0}` is named twice")]
    Twice(&'static str),
    #[error("`{0}` is not what it should be")]
    Unfit(&'static str),
    #[error("`{0}` is unknown")]
    Unknown(String),
}

impl<'a> Json<'a> {
    pub(super) fn read(bytes: &'a [u8]) -> Result<Self, Wrong> {
        serde_json::from_slice(bytes).map_err(|error| Wrong::Syntax(error.to_string()))
    }

    pub(super) fn written(&self) -> String {
        // Writing plain values with text keys to memory cannot fail.
        serde_json::to_string(self).unwrap_or_default()
    }

    /// Returns the fields of what must be an object.
    pub(super) fn fields(self, name: &'static str) -> Result<Fields<'a>, Wrong> {
        match self {
            Self::Object(fields) => Ok(fields),
            _ => Err(Wrong::Unfit(name)),
        }
    }

    /// Returns the members of what must be a list.
    pub(super) fn list_of(self, name: &'static str) -> Result<Vec<Json<'a>>, Wrong> {
        match self {
            Self::List(list) => Ok(list),
            _ => Err(Wrong::Unfit(name)),
        }
    }

    /// Returns the one field of what must be an object of one field, as `(name, value)`.
    pub(super) fn only_field(self, name: &'static str) -> Result<(Cow<'a, str>, Json<'a>), Wrong> {
        let mut fields = self.fields(name)?.0;
        match (fields.pop(), fields.is_empty()) {
            (Some(only), true) => Ok(only),
            _ => Err(Wrong::Unfit(name)),
        }
    }
}

impl<'a> Fields<'a> {
    /// Adds a field.
    pub(super) fn put(mut self, name: &'static str, value: impl Into<Json<'a>>) -> Self {
        self.0.push((Cow::Borrowed(name), value.into()));
        self
    }

    /// Adds a field unless it is not known.
    pub(super) fn put_known(self, name: &'static str, value: Option<impl Into<Json<'a>>>) -> Self {
        match value {
            Some(value) => self.put(name, value),
            None => self,
        }
    }

    /// Returns the name of the first field.
    pub(super) fn first(&self) -> Option<String> {
        self.0.first().map(|(name, _)| name.to_string())
    }

    /// Takes out a field that may be absent or null.
    pub(super) fn known(&mut self, name: &'static str) -> Result<Option<Json<'a>>, Wrong> {
        let Some(index) = self.0.iter().position(|(known, _)| known == name) else { return Ok(None) };
        let (_, value) = self.0.remove(index);
        if self.0.iter().any(|(known, _)| known == name) {
            return Err(Wrong::Twice(name));
        }
        Ok(if value == Json::Null { None } else { Some(value) })
    }

    /// Tells whether a field is there and not null.
    pub(super) fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(known, value)| known == name && *value != Json::Null)
    }

    /// Takes out a field.
    pub(super) fn take(&mut self, name: &'static str) -> Result<Json<'a>, Wrong> {
        self.known(name)?.ok_or(Wrong::Missing(name))
    }

    /// Takes out a field that is text.
    pub(super) fn text(&mut self, name: &'static str) -> Result<Cow<'a, str>, Wrong> {
        match self.take(name)? {
            Json::Text(text) => Ok(text),
            _ => Err(Wrong::Unfit(name)),
        }
    }

    /// Takes out a field whose text stands for something else.
    pub(super) fn parsed<T>(&mut self, name: &'static str, parse: fn(&str) -> Option<T>) -> Result<T, Wrong> {
        parse(&self.text(name)?).ok_or(Wrong::Unfit(name))
    }

    /// Takes out a field that is a whole number from 0.
    pub(super) fn number<N: TryFrom<u64>>(&mut self, name: &'static str) -> Result<N, Wrong> {
        match self.take(name)? {
            Json::Number(number) => N::try_from(number).map_err(|_| Wrong::Unfit(name)),
            _ => Err(Wrong::Unfit(name)),
        }
    }

    /// Takes out a field that is a whole number, perhaps below 0.
    pub(super) fn signed(&mut self, name: &'static str) -> Result<i32, Wrong> {
        let number = match self.take(name)? {
            Json::Number(number) => i32::try_from(number).ok(),
            Json::Negative(number) => i32::try_from(number).ok(),
            _ => None,
        };
        number.ok_or(Wrong::Unfit(name))
    }

    /// Takes out a field that is true or false.
    pub(super) fn flag(&mut self, name: &'static str) -> Result<bool, Wrong> {
        match self.take(name)? {
            Json::Bool(flag) => Ok(flag),
            _ => Err(Wrong::Unfit(name)),
        }
    }

    /// Takes out a field that is a list.
    pub(super) fn list(&mut self, name: &'static str) -> Result<Vec<Json<'a>>, Wrong> {
        self.take(name)?.list_of(name)
    }

    /// Takes out a field that is an object with these fields and no others.
    pub(super) fn nested<T>(&mut self, name: &'static str, read: Read<'a, T>) -> Result<T, Wrong> {
        self.take(name)?.fields(name)?.whole(read)
    }

    /// Returns what these fields are, when they are that and nothing more.
    pub(super) fn whole<T>(mut self, read: Read<'a, T>) -> Result<T, Wrong> {
        let value = read(&mut self)?;
        self.end()?;
        Ok(value)
    }

    /// Refuses what was not taken out.
    pub(super) fn end(self) -> Result<(), Wrong> {
        self.0.into_iter().next().map_or(Ok(()), |(name, _)| Err(Wrong::Unknown(name.into_owned())))
    }
}

/// How something is read out of the fields of an object.
pub(super) type Read<'a, T> = fn(&mut Fields<'a>) -> Result<T, Wrong>;

impl<'a> From<Fields<'a>> for Json<'a> {
    fn from(fields: Fields<'a>) -> Self {
        Self::Object(fields)
    }
}

impl<'a> From<Vec<Json<'a>>> for Json<'a> {
    fn from(list: Vec<Json<'a>>) -> Self {
        Self::List(list)
    }
}

impl<'a> From<&'a str> for Json<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(Cow::Borrowed(text))
    }
}

impl From<String> for Json<'_> {
    fn from(text: String) -> Self {
        Self::Text(Cow::Owned(text))
    }
}

impl From<bool> for Json<'_> {
    fn from(flag: bool) -> Self {
        Self::Bool(flag)
    }
}

impl From<u64> for Json<'_> {
    fn from(number: u64) -> Self {
        Self::Number(number)
    }
}

impl From<u32> for Json<'_> {
    fn from(number: u32) -> Self {
        Self::Number(number.into())
    }
}

impl From<u16> for Json<'_> {
    fn from(number: u16) -> Self {
        Self::Number(number.into())
    }
}

impl From<i32> for Json<'_> {
    fn from(number: i32) -> Self {
        u64::try_from(number).map_or(Self::Negative(number.into()), Self::Number)
    }
}

impl<'a, T: Into<Json<'a>>> From<Option<T>> for Json<'a> {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Null, Into::into)
    }
}

impl Serialize for Json<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Null => to.serialize_unit(),
            Self::Bool(flag) => to.serialize_bool(*flag),
            Self::Number(number) => to.serialize_u64(*number),
            Self::Negative(number) => to.serialize_i64(*number),
            Self::Text(text) => to.serialize_str(text),
            Self::List(list) => to.collect_seq(list),
            Self::Object(Fields(fields)) => to.collect_map(fields.iter().map(|(name, value)| (name, value))),
        }
    }
}

impl<'de: 'a, 'a> Deserialize<'de> for Json<'a> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Tree)
    }
}

struct Tree;

impl<'de> Visitor<'de> for Tree {
    type Value = Json<'de>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("text, a whole number, a list or an object")
    }

    fn visit_unit<E>(self) -> Result<Json<'de>, E> {
        Ok(Json::Null)
    }

    fn visit_bool<E>(self, flag: bool) -> Result<Json<'de>, E> {
        Ok(Json::Bool(flag))
    }

    fn visit_u64<E>(self, number: u64) -> Result<Json<'de>, E> {
        Ok(Json::Number(number))
    }

    fn visit_i64<E>(self, number: i64) -> Result<Json<'de>, E> {
        Ok(u64::try_from(number).map_or(Json::Negative(number), Json::Number))
    }

    fn visit_f64<E: Error>(self, _: f64) -> Result<Json<'de>, E> {
        Err(E::custom("a number is not whole"))
    }

    fn visit_str<E>(self, text: &str) -> Result<Json<'de>, E> {
        Ok(Json::from(text.to_owned()))
    }

    fn visit_borrowed_str<E>(self, text: &'de str) -> Result<Json<'de>, E> {
        Ok(Json::from(text))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut from: A) -> Result<Json<'de>, A::Error> {
        let mut list = Vec::new();
        while let Some(value) = from.next_element()? {
            list.push(value);
        }
        Ok(Json::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut from: A) -> Result<Json<'de>, A::Error> {
        let mut fields = Vec::new();
        while let Some(name) = from.next_key::<Json<'de>>()? {
            let Json::Text(name) = name else { return Err(A::Error::custom("a name is not text")) };
            fields.push((name, from.next_value()?));
        }
        Ok(Json::Object(Fields(fields)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_json() -> impl Strategy<Value = serde_json::Value> {
        use serde_json::Value;
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<u64>().prop_map(Value::from),
            any::<i64>().prop_map(Value::from),
            any::<String>().prop_map(Value::from),
        ];
        leaf.prop_recursive(4, 40, 5, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
                prop::collection::btree_map(any::<String>(), inner, 0..5)
                    .prop_map(|fields| Value::Object(fields.into_iter().collect())),
            ]
        })
    }

    proptest! {
        #[test]
        fn what_is_read_is_written_as_it_was(value in any_json()) {
            let text = value.to_string();
            prop_assert_eq!(Json::read(text.as_bytes()).unwrap().written(), text);
        }
    }

    #[test]
    fn fields_are_taken_in_any_order_and_none_is_left_over() {
        let read = |text: &'static str| -> Result<(u16, String), Wrong> {
            Json::read(text.as_bytes())?.fields("all")?.whole(|of| Ok((of.number("n")?, of.text("t")?.into_owned())))
        };
        assert_eq!(read(r#"{"t":"a","n":1}"#), Ok((1, "a".to_owned())));
        assert_eq!(read(r#"{"n":1}"#), Err(Wrong::Missing("t")));
        assert_eq!(read(r#"{"n":1,"t":null}"#), Err(Wrong::Missing("t")));
        assert_eq!(read(r#"{"n":65536,"t":""}"#), Err(Wrong::Unfit("n")));
        assert_eq!(read(r#"{"n":-1,"t":""}"#), Err(Wrong::Unfit("n")));
        assert_eq!(read(r#"{"n":1,"t":"","n":2}"#), Err(Wrong::Twice("n")));
        assert_eq!(read(r#"{"n":1,"t":"","more":2}"#), Err(Wrong::Unknown("more".to_owned())));
        assert_eq!(read("[]"), Err(Wrong::Unfit("all")));
        assert!(matches!(read(r#"{"n":1.5,"t":""}"#), Err(Wrong::Syntax(_))));
    }
}
