//! Pictures by name, each drawn only when it is asked for.

use crate::picture::Picture;

/// A picture that is not drawn yet.
pub(super) struct Draft<'a> {
    pub name: String,
    /// Nothing where the machine has no such pose.
    draw: Box<dyn Fn() -> Option<Picture> + 'a>,
}

impl<'a> Draft<'a> {
    pub fn new(name: impl Into<String>, draw: impl Fn() -> Option<Picture> + 'a) -> Draft<'a> {
        Draft {
            name: name.into(),
            draw: Box::new(draw),
        }
    }

    /// The picture under its name.
    pub fn draw(&self) -> Option<Picture> {
        (self.draw)().map(|picture| picture.named(self.name.as_str()))
    }
}

/// All of them.
pub(super) fn drawn(drafts: Vec<Draft>) -> Vec<Picture> {
    drafts.iter().filter_map(Draft::draw).collect()
}

/// Which pictures are wanted.
#[derive(Clone, Copy, Debug)]
pub enum Wanted<'a> {
    /// Only the first.
    First,
    /// Those of these names, in this order.
    Named(&'a [&'a str]),
}

/// A name that no picture has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoPicture {
    /// The name asked for.
    pub asked: String,
    /// All names that there are.
    pub names: Vec<String>,
}

pub(super) fn pick(drafts: &[Draft], wanted: Wanted) -> Result<Vec<Picture>, NoPicture> {
    let missing = |asked: &str| NoPicture {
        asked: asked.to_owned(),
        names: drafts.iter().map(|draft| draft.name.clone()).collect(),
    };
    let one = |name: &&str| {
        let found = drafts.iter().find(|draft| draft.name == **name);
        found.and_then(Draft::draw).ok_or_else(|| missing(name))
    };
    match wanted {
        Wanted::First => {
            let first = drafts.iter().find_map(Draft::draw);
            Ok(vec![first.ok_or_else(|| missing(""))?])
        }
        Wanted::Named(names) => names.iter().map(one).collect(),
    }
}
