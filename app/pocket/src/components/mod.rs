//! Small parts that several screens are made of.

mod button;
mod field;
mod foot;
mod offers;
mod photo;
mod tags;
mod voice;

pub use button::{button, named_button};
pub use field::{CountField, Field};
pub use foot::{Foot, SaidLast, Standing};
pub use offers::Offers;
pub use photo::{PhotoButton, Picture, drawn, framed, shown_picture};
pub use tags::TagField;
pub use voice::{voice_button, voice_player};
