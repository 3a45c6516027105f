//! What a screen looks at, and what it shows of it.
//!
//! A look is a memo: it is taken anew when something that it rests on changes,
//! and tells those who read it only when it gives another value. Looks of every
//! kind of value share one type of memo, and everything that is drawn anew
//! shares one type of effect: a type for each was a tenth of what a phone had
//! to load.

use std::any::Any;
use std::marker::PhantomData;
use std::sync::{Arc, Mutex};

use leptos::prelude::*;

/// A value that is looked at; read it inside of what shall follow it.
pub struct Look<T>(Memo<Seen>, PhantomData<fn() -> T>);

/// A value of any kind.
#[derive(Clone)]
struct Seen(Arc<dyn Value>);

/// What a look needs of its values.
trait Value: Any + Send + Sync {
    fn is_same(&self, other: &dyn Value) -> bool;
    fn any(&self) -> &dyn Any;
}

impl<T: PartialEq + Send + Sync + 'static> Value for T {
    fn is_same(&self, other: &dyn Value) -> bool {
        other.any().downcast_ref::<T>() == Some(self)
    }

    fn any(&self) -> &dyn Any {
        self
    }
}

impl PartialEq for Seen {
    fn eq(&self, other: &Self) -> bool {
        self.0.is_same(&*other.0)
    }
}

impl<T> Clone for Look<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Look<T> {}

impl<T: PartialEq + Send + Sync + 'static> Look<T> {
    /// Returns a look at what `ask` gives.
    pub fn at(ask: impl Fn() -> T + Send + Sync + 'static) -> Self {
        Self(memo(Box::new(move || Seen(Arc::new(ask())))), PhantomData)
    }

    /// Returns what `read` makes of the value, and follows it.
    pub fn with<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(value(&self.0.get()))
    }

    /// Returns what `read` makes of the value as it is now.
    pub fn with_untracked<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(value(&self.0.get_untracked()))
    }
}

impl<T: Clone + PartialEq + Send + Sync + 'static> Look<T> {
    /// Returns the value, and follows it.
    pub fn get(self) -> T {
        self.with(T::clone)
    }

    /// Returns the value as it is now.
    pub fn get_untracked(self) -> T {
        self.with_untracked(T::clone)
    }
}

fn memo(ask: Box<dyn Fn() -> Seen + Send + Sync>) -> Memo<Seen> {
    let awake = use_context::<Awake>();
    Memo::new(move |last: Option<&Seen>| {
        // Asked first, so that it wakes when this changes.
        let rests = awake.is_some_and(|awake| !awake.0.get());
        last.filter(|_| rests).cloned().unwrap_or_else(&ask)
    })
}

/// Whether what is drawn here is on the screen; see [`while_here`].
#[derive(Clone, Copy)]
struct Awake(Look<bool>);

/// Returns what `what` shows, drawn when it is here for the first time; while it is not, the
/// looks taken inside of it rest, so that what nobody sees costs nothing at a tap.
pub fn while_here(here: Look<bool>, what: impl Fn() -> AnyView + Send + 'static) -> AnyView {
    let was_here = StoredValue::new(false);
    let drawn = Look::at(move || {
        if here.get() {
            was_here.set_value(true);
        }
        was_here.get_value()
    });
    shown(move || {
        drawn.get().then(|| {
            provide_context(Awake(here));
            what()
        })
    })
}

fn value<T: 'static>(seen: &Seen) -> &T {
    match seen.0.any().downcast_ref() {
        Some(value) => value,
        // A look makes its own values.
        None => unreachable!(),
    }
}

/// Returns what `what` shows, drawn anew when something that it follows changes.
pub fn shown<V: IntoAny>(what: impl Fn() -> V + Send + 'static) -> AnyView {
    let what: Arc<Mutex<dyn FnMut() -> AnyView + Send>> = Arc::new(Mutex::new(move || what().into_any()));
    what.into_any()
}
