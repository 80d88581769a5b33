//! JSON that documents itself: a struct, and the rows of the page made from its doc comments.

/// Path, form and meaning of a key.
pub(crate) type KeyRow = (String, String, String);

/// What a value looks like in JSON.
pub(crate) trait Form {
    /// In words, as `mm or null`; the end of the key says the unit of a number.
    fn words(key: &str) -> String;
    /// The rows of what is inside, for a value at that path.
    fn below(_path: &str, _rows: &mut Vec<KeyRow>) {}
}

macro_rules! form {
    ($words:literal: $($type:ty),+) => {
        $(impl Form for $type {
            fn words(_: &str) -> String {
                $words.to_owned()
            }
        })+
    };
}

form!("text": String, &str, char, crate::plan::Level, crate::plan::Pattern, crate::billet::Kind,
    crate::billet::Stage, crate::units::Units);
form!("true or false": bool);
form!("whole number": u32, u64, usize);
form!("number": serde_json::Number);

impl Form for f64 {
    fn words(key: &str) -> String {
        let units = [
            ("_g_cm3", "g/cm3"),
            ("_mm3", "mm3"),
            ("_mm", "mm"),
            ("_g", "g"),
            ("_c", "C"),
            ("_s", "s"),
        ];
        let unit = units.iter().find(|(end, _)| key.ends_with(end));
        unit.map_or("number", |(_, unit)| unit).to_owned()
    }
}

impl<T: Form> Form for Option<T> {
    fn words(key: &str) -> String {
        format!("{} or null", T::words(key))
    }

    fn below(path: &str, rows: &mut Vec<KeyRow>) {
        T::below(path, rows);
    }
}

impl Form for std::collections::BTreeMap<String, f64> {
    fn words(_: &str) -> String {
        "object".to_owned()
    }
}

impl<T: Form> Form for Vec<T> {
    fn words(_: &str) -> String {
        "list".to_owned()
    }

    fn below(path: &str, rows: &mut Vec<KeyRow>) {
        T::below(&format!("{path}[]"), rows);
    }
}

/// A struct that is written as JSON and whose doc comments are its page. A field `..` takes the keys of
/// another struct in as its own.
macro_rules! documented {
    ($($(#[$outer:meta])* struct $name:ident {
        $($(#[doc = $doc:literal])+ $field:ident: $type:ty,)*
        $(.. $flat:ident: $other:ty,)?
    })+) => {
        $($(#[$outer])*
        #[derive(Debug, Clone, serde::Serialize)]
        pub(crate) struct $name {
            $($(#[doc = $doc])+ pub(crate) $field: $type,)*
            $(#[serde(flatten)] pub(crate) $flat: $other,)?
        }

        impl $crate::plan::report::keys::Form for $name {
            fn words(_: &str) -> String {
                "object".to_owned()
            }

            fn below(path: &str, rows: &mut Vec<$crate::plan::report::keys::KeyRow>) {
                let dot = if path.is_empty() { "" } else { "." };
                $(
                    let key = format!("{path}{dot}{}", stringify!($field));
                    let words = <$type as $crate::plan::report::keys::Form>::words(&key);
                    let meaning = concat!($($doc),+).trim().to_owned();
                    rows.push((key.clone(), words, meaning));
                    <$type as $crate::plan::report::keys::Form>::below(&key, rows);
                )*
                $(<$other as $crate::plan::report::keys::Form>::below(path, rows);)?
            }
        })+
    };
}
pub(crate) use documented;
