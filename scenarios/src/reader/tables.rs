//! Tables inside tables.

use super::Reader;
use crate::node::{Table, Value};
use crate::problem::Reported;

impl<'a> Reader<'a> {
    /// The table of a field, if it is given as one.
    pub fn optional_table(&self, name: &str) -> Result<Option<&'a Table>, Reported> {
        let (Some(field), Some(node)) = (self.field(name), self.node(name)) else {
            return Ok(None);
        };
        match &node.value {
            Value::Table(table) => Ok(Some(table)),
            _ => Err(self.wrong_value(field, node)),
        }
    }

    /// The tables of a field; what is no table is reported and left out, and `whole` says so.
    pub fn tables(&self, name: &str) -> (Vec<&'a Table>, Result<(), Reported>) {
        let (Some(field), Some(node)) = (self.field(name), self.node(name)) else {
            return (Vec::new(), Ok(()));
        };
        let Value::List(items) = &node.value else {
            return (Vec::new(), Err(self.wrong_value(field, node)));
        };
        let mut tables = Vec::new();
        let mut whole = Ok(());
        for item in items {
            match &item.value {
                Value::Table(table) => tables.push(table),
                _ => whole = Err(self.wrong_value(field, item)),
            }
        }
        (tables, whole)
    }

    /// The tables of a field that may be one or a list, like [`Self::tables`].
    pub fn table_or_tables(&self, name: &str) -> (Vec<&'a Table>, Result<(), Reported>) {
        match self.node(name).map(|node| &node.value) {
            Some(Value::Table(table)) => (vec![table], Ok(())),
            _ => self.tables(name),
        }
    }
}
