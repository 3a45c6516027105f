//! A closed list of words: each case has a slug, which is written, and words, which are shown.
//!
//! Units, inputs, choices and kinds of readings are such lists. A slug stands in
//! logs and files, so it is never changed and never used for anything else.

/// Makes an enum whose cases are told as `Case = "slug", "words";`.
macro_rules! closed {
    ($(#[$doc:meta])* $name:ident { $($case:ident = $slug:literal, $words:literal;)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $(#[doc = $slug] $case,)+ }

        impl $name {
            /// All, in the order in which they are offered.
            pub const ALL: &'static [$name] = &[$($name::$case),+];

            /// Returns the word in written forms and addresses; it never changes.
            pub const fn slug(self) -> &'static str {
                match self { $($name::$case => $slug,)+ }
            }

            /// Returns the words for people.
            pub const fn words(self) -> &'static str {
                match self { $($name::$case => $words,)+ }
            }

            /// Returns the case of that slug.
            pub fn parse(slug: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|it| it.slug() == slug)
            }
        }
    };
}

pub(super) use closed;
