//! Values on their way into JSON, looked at one by one: a number that is none stops them. JSON has no such number, and its writer would put
//! `null` there in silence.

use serde::Serialize;
use serde::Serializer;
use serde::ser::Error;
use serde::ser::SerializeMap;
use serde::ser::SerializeSeq;
use serde::ser::SerializeStruct;
use serde::ser::SerializeStructVariant;
use serde::ser::SerializeTuple;
use serde::ser::SerializeTupleStruct;
use serde::ser::SerializeTupleVariant;

use crate::report::Table;
use crate::report::Value;

use super::CannotWrite;

/// Looks at every number of a table's cells.
///
/// # Errors
/// One of them is no finite number; its column is named.
pub(super) fn finite(table: &Table) -> Result<(), CannotWrite> {
    for row in &table.rows {
        for (column, value) in table.columns.iter().zip(row) {
            if let Value::Number(number) = value
                && !number.is_finite()
            {
                return Err(CannotWrite {
                    file: table.name.clone(),
                    why: format!("{}: `{number}` is no number", column.heading),
                });
            }
        }
    }
    Ok(())
}

/// A value that is written with every number in it looked at.
#[derive(Clone, Copy, Debug)]
pub(super) struct Checked<'a, T: ?Sized>(pub(super) &'a T);

impl<T: Serialize + ?Sized> Serialize for Checked<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(Finite(serializer))
    }
}

/// A writer that passes everything on but numbers that are none.
#[derive(Debug)]
struct Finite<S>(S);

/// Functions that pass a plain value on.
macro_rules! pass_on {
    ($($function:ident: $type:ty;)*) => {
        $(fn $function(self, value: $type) -> Result<S::Ok, S::Error> {
            self.0.$function(value)
        })*
    };
}

impl<S: Serializer> Serializer for Finite<S> {
    type Ok = S::Ok;
    type Error = S::Error;
    type SerializeSeq = Finite<S::SerializeSeq>;
    type SerializeTuple = Finite<S::SerializeTuple>;
    type SerializeTupleStruct = Finite<S::SerializeTupleStruct>;
    type SerializeTupleVariant = Finite<S::SerializeTupleVariant>;
    type SerializeMap = Finite<S::SerializeMap>;
    type SerializeStruct = Finite<S::SerializeStruct>;
    type SerializeStructVariant = Finite<S::SerializeStructVariant>;

    pass_on! {
        serialize_bool: bool;
        serialize_i8: i8;
        serialize_i16: i16;
        serialize_i32: i32;
        serialize_i64: i64;
        serialize_u8: u8;
        serialize_u16: u16;
        serialize_u32: u32;
        serialize_u64: u64;
        serialize_char: char;
        serialize_str: &str;
        serialize_bytes: &[u8];
        serialize_unit_struct: &'static str;
    }

    fn serialize_f32(self, value: f32) -> Result<S::Ok, S::Error> {
        self.serialize_f64(f64::from(value))
    }

    fn serialize_f64(self, value: f64) -> Result<S::Ok, S::Error> {
        if value.is_finite() {
            self.0.serialize_f64(value)
        } else {
            Err(S::Error::custom(format_args!("`{value}` is no number")))
        }
    }

    fn serialize_none(self) -> Result<S::Ok, S::Error> {
        self.0.serialize_none()
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<S::Ok, S::Error> {
        self.0.serialize_some(&Checked(value))
    }

    fn serialize_unit(self) -> Result<S::Ok, S::Error> {
        self.0.serialize_unit()
    }

    fn serialize_unit_variant(
        self,
        name: &'static str,
        index: u32,
        variant: &'static str,
    ) -> Result<S::Ok, S::Error> {
        self.0.serialize_unit_variant(name, index, variant)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        name: &'static str,
        value: &T,
    ) -> Result<S::Ok, S::Error> {
        self.0.serialize_newtype_struct(name, &Checked(value))
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        name: &'static str,
        index: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<S::Ok, S::Error> {
        self.0
            .serialize_newtype_variant(name, index, variant, &Checked(value))
    }

    fn serialize_seq(self, length: Option<usize>) -> Result<Self::SerializeSeq, S::Error> {
        self.0.serialize_seq(length).map(Finite)
    }

    fn serialize_tuple(self, length: usize) -> Result<Self::SerializeTuple, S::Error> {
        self.0.serialize_tuple(length).map(Finite)
    }

    fn serialize_tuple_struct(
        self,
        name: &'static str,
        length: usize,
    ) -> Result<Self::SerializeTupleStruct, S::Error> {
        self.0.serialize_tuple_struct(name, length).map(Finite)
    }

    fn serialize_tuple_variant(
        self,
        name: &'static str,
        index: u32,
        variant: &'static str,
        length: usize,
    ) -> Result<Self::SerializeTupleVariant, S::Error> {
        self.0
            .serialize_tuple_variant(name, index, variant, length)
            .map(Finite)
    }

    fn serialize_map(self, length: Option<usize>) -> Result<Self::SerializeMap, S::Error> {
        self.0.serialize_map(length).map(Finite)
    }

    fn serialize_struct(
        self,
        name: &'static str,
        length: usize,
    ) -> Result<Self::SerializeStruct, S::Error> {
        self.0.serialize_struct(name, length).map(Finite)
    }

    fn serialize_struct_variant(
        self,
        name: &'static str,
        index: u32,
        variant: &'static str,
        length: usize,
    ) -> Result<Self::SerializeStructVariant, S::Error> {
        self.0
            .serialize_struct_variant(name, index, variant, length)
            .map(Finite)
    }
}

/// Lists whose items are passed on by one function.
macro_rules! items {
    ($($sort:ident: $function:ident;)*) => {
        $(impl<C: $sort> $sort for Finite<C> {
            type Ok = C::Ok;
            type Error = C::Error;

            fn $function<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), C::Error> {
                self.0.$function(&Checked(value))
            }

            fn end(self) -> Result<C::Ok, C::Error> {
                self.0.end()
            }
        })*
    };
}

items! {
    SerializeSeq: serialize_element;
    SerializeTuple: serialize_element;
    SerializeTupleStruct: serialize_field;
    SerializeTupleVariant: serialize_field;
}

/// Structures whose fields are passed on with their names, which a message begins with.
macro_rules! fields {
    ($($sort:ident;)*) => {
        $(impl<C: $sort> $sort for Finite<C> {
            type Ok = C::Ok;
            type Error = C::Error;

            fn serialize_field<T: Serialize + ?Sized>(
                &mut self,
                key: &'static str,
                value: &T,
            ) -> Result<(), C::Error> {
                self.0
                    .serialize_field(key, &Checked(value))
                    .map_err(|error| C::Error::custom(format_args!("{key}: {error}")))
            }

            fn end(self) -> Result<C::Ok, C::Error> {
                self.0.end()
            }
        })*
    };
}

fields! {
    SerializeStruct;
    SerializeStructVariant;
}

impl<C: SerializeMap> SerializeMap for Finite<C> {
    type Ok = C::Ok;
    type Error = C::Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), C::Error> {
        self.0.serialize_key(key)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), C::Error> {
        self.0.serialize_value(&Checked(value))
    }

    fn end(self) -> Result<C::Ok, C::Error> {
        self.0.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Serialize)]
    struct Drum {
        names: Vec<&'static str>,
        turns: Option<f64>,
        corners: Vec<[f64; 2]>,
    }

    fn written(turns: Option<f64>, x: f64) -> Result<String, String> {
        let drum = Drum {
            names: vec!["a"],
            turns,
            corners: vec![[x, 1.5]],
        };
        serde_json::to_string(&Checked(&drum)).map_err(|error| error.to_string())
    }

    #[test]
    fn numbers_pass_and_what_is_none_is_named() {
        let whole = written(Some(2.25), 0.0).unwrap();
        assert_eq!(
            whole,
            r#"{"names":["a"],"turns":2.25,"corners":[[0.0,1.5]]}"#
        );
        assert!(written(None, 0.0).unwrap().contains("null"));
        assert_eq!(
            written(Some(f64::NAN), 0.0).unwrap_err(),
            "turns: `NaN` is no number"
        );
        assert_eq!(
            written(None, f64::INFINITY).unwrap_err(),
            "corners: `inf` is no number"
        );
    }
}
