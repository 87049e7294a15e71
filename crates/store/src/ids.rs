//! Public names of jobs and saved vehicles: 16 lower-case hexadecimal digits, drawn by the database.

use std::fmt;

const DIGITS: usize = 16;

macro_rules! public_name {
    ($name:ident, $what:literal) => {
        #[doc = concat!("The public name of a ", $what, ": 16 lower-case hexadecimal digits.")]
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(String);

        impl $name {
            /// Digits in a name.
            pub const DIGITS: usize = DIGITS;

            /// Takes a text as a name; `None` unless it is 16 digits of `0-9a-f`.
            pub fn parse(text: &str) -> Option<$name> {
                is_plain(text).then(|| $name(text.to_owned()))
            }

            /// The digits.
            pub fn as_str(&self) -> &str {
                &self.0
            }

            pub(crate) fn from_row(text: String) -> $name {
                $name(text)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str(&self.0)
            }
        }
    };
}

public_name!(JobId, "job");
public_name!(VehicleId, "saved vehicle");

fn is_plain(text: &str) -> bool {
    let plain = |b: u8| matches!(b, b'0'..=b'9' | b'a'..=b'f');
    text.len() == DIGITS && text.bytes().all(plain)
}
