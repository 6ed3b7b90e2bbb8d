//! Reads the fields of one table against their field table: every mistake is written down, none stops the rest.

mod tables;

use std::sync::Arc;

use tepid_sim::quantity::{
    Kind, QuantityError, parse, parse_day_of_year, parse_millis, parse_moment, parse_time_of_day,
};
use tepid_sim::time::Millis;

use crate::fields::{Field, FieldKind, Limits, Presence, Section, quoted};
use crate::mistakes::{
    could_be_temperature, expected_of, fix_line, looks_absolute, meant, quantity_problem, shortened,
    temperature_for_difference, unknown_key, with_a_unit, without_sign,
};
use crate::names::Names;
use crate::nearest::nearest;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Reported};
use crate::source::{Place, Source};

/// A table, the fields it may have, and where mistakes go.
pub(crate) struct Reader<'a> {
    table: &'a Table,
    fields: &'a [Field],
    /// What the table is, in words: "heater".
    what: &'a str,
    problems: &'a Problems,
}

impl<'a> Reader<'a> {
    /// Opens a table; keys that are no fields are reported here.
    pub fn open(table: &'a Table, section: &'static Section, problems: &'a Problems) -> Self {
        Self::open_fields(table, section.fields, section.name, problems)
    }

    pub fn open_fields(table: &'a Table, fields: &'a [Field], what: &'a str, problems: &'a Problems) -> Self {
        for entry in &table.entries {
            if fields.iter().all(|field| field.name != entry.key) {
                problems.add(unknown_key(&entry.key, &entry.key_place, fields, what));
            }
        }
        Self {
            table,
            fields,
            what,
            problems,
        }
    }

    /// Where the table stands: its header.
    pub fn place(&self) -> &'a Place {
        &self.table.place
    }

    /// Where a field's value stands, else the table's header.
    pub fn place_of(&self, name: &str) -> &'a Place {
        self.node(name).map_or(&self.table.place, |node| &node.place)
    }

    pub fn node(&self, name: &str) -> Option<&'a Node> {
        self.table.get(name)
    }

    pub fn given(&self, name: &str) -> bool {
        self.node(name).is_some()
    }

    pub fn report(&self, problem: Problem) -> Reported {
        self.problems.add(problem)
    }

    /// A required field that is missing.
    pub fn missing(&self, name: &str) -> Reported {
        self.missing_of(name, None)
    }

    /// A required field that names something, and is missing.
    pub fn missing_name(&self, name: &str, names: &Names) -> Reported {
        self.missing_of(name, Some(names))
    }

    fn missing_of(&self, name: &str, names: Option<&Names>) -> Reported {
        // A misspelt key is reported where it stands; that its field is missing is the same mistake.
        let unknown = |key: &str| self.fields.iter().all(|field| field.name != key);
        let mut misspelt = self.table.entries.iter().filter(|entry| unknown(&entry.key));
        if misspelt.any(|entry| meant(&entry.key, self.fields) == Some(name)) {
            return Reported;
        }
        let field = self.field(name);
        let message = format!("{} has no `{name}`", self.described());
        let mut problem =
            Problem::new("missing-field", self.place(), message).label(format!("`{name}` is missing"));
        if let Some(field) = field {
            let expected = format!("`{name}`: {}", field.doc);
            problem = match names {
                // An example of ours would name what this scenario has not.
                Some(names) => names.advise(problem, field, &expected),
                None => problem.expected(expected).fix(fix_line(field)),
            };
        }
        self.report(problem)
    }

    /// "heater `left`", "room".
    fn described(&self) -> String {
        match self.table.get("name").map(|node| &node.value) {
            Some(Value::Text { text, .. }) if self.what != "scenario" => format!("{} `{text}`", self.what),
            _ => self.what.to_owned(),
        }
    }

    pub fn field(&self, name: &str) -> Option<&'a Field> {
        debug_assert!(
            self.fields.iter().any(|field| field.name == name),
            "no field {name} in {}",
            self.what
        );
        self.fields.iter().find(|field| field.name == name)
    }

    /// Reads a field that must be there or has a default.
    fn need<T>(
        &self,
        name: &str,
        read: impl Fn(&Field, &Node) -> Result<T, Reported>,
    ) -> Result<T, Reported> {
        match self.optional(name, &read)? {
            Some(value) => Ok(value),
            None => match self.field(name) {
                Some(
                    field @ Field {
                        presence: Presence::Default(default),
                        ..
                    },
                ) => read(field, &default_node(field, default)),
                _ => Err(self.missing(name)),
            },
        }
    }

    fn optional<T>(
        &self,
        name: &str,
        read: impl Fn(&Field, &Node) -> Result<T, Reported>,
    ) -> Result<Option<T>, Reported> {
        match (self.field(name), self.node(name)) {
            (Some(field), Some(node)) => read(field, node).map(Some),
            _ => Ok(None),
        }
    }

    /// A quantity in its kind's inside unit, with its default or required.
    pub fn quantity(&self, name: &str) -> Result<f64, Reported> {
        self.need(name, |field, node| self.read_quantity(field, node))
    }

    pub fn optional_quantity(&self, name: &str) -> Result<Option<f64>, Reported> {
        self.optional(name, |field, node| self.read_quantity(field, node))
    }

    /// A length of time, ms.
    pub fn millis(&self, name: &str) -> Result<Millis, Reported> {
        self.need(name, |field, node| self.read_millis(field, node))
    }

    pub fn optional_millis(&self, name: &str) -> Result<Option<Millis>, Reported> {
        self.optional(name, |field, node| self.read_millis(field, node))
    }

    pub fn time_of_day(&self, name: &str) -> Result<Millis, Reported> {
        self.need(name, |field, node| self.read_with(field, node, parse_time_of_day))
    }

    pub fn optional_time_of_day(&self, name: &str) -> Result<Option<Millis>, Reported> {
        self.optional(name, |field, node| self.read_with(field, node, parse_time_of_day))
    }

    pub fn optional_moment(&self, name: &str) -> Result<Option<Millis>, Reported> {
        self.optional(name, |field, node| self.read_with(field, node, parse_moment))
    }

    pub fn day_of_year(&self, name: &str) -> Result<u32, Reported> {
        self.need(name, |field, node| self.read_with(field, node, parse_day_of_year))
    }

    pub fn optional_day_of_year(&self, name: &str) -> Result<Option<u32>, Reported> {
        self.optional(name, |field, node| self.read_with(field, node, parse_day_of_year))
    }

    pub fn flag(&self, name: &str) -> Result<bool, Reported> {
        self.need(name, |field, node| self.read_flag(field, node))
    }

    pub fn optional_flag(&self, name: &str) -> Result<Option<bool>, Reported> {
        self.optional(name, |field, node| self.read_flag(field, node))
    }

    pub fn text(&self, name: &str) -> Result<String, Reported> {
        self.need(name, |field, node| self.read_text(field, node).map(str::to_owned))
    }

    pub fn optional_text(&self, name: &str) -> Result<Option<String>, Reported> {
        self.optional(name, |field, node| self.read_text(field, node).map(str::to_owned))
    }

    pub fn choice(&self, name: &str) -> Result<&'static str, Reported> {
        self.need(name, |field, node| self.read_choice(field, node))
    }

    pub fn optional_choice(&self, name: &str) -> Result<Option<&'static str>, Reported> {
        self.optional(name, |field, node| self.read_choice(field, node))
    }

    /// A plain number.
    pub fn number(&self, name: &str) -> Result<f64, Reported> {
        self.need(name, |field, node| self.read_number(field, node))
    }

    pub fn optional_number(&self, name: &str) -> Result<Option<f64>, Reported> {
        self.optional(name, |field, node| self.read_number(field, node))
    }

    fn read_number(&self, field: &Field, node: &Node) -> Result<f64, Reported> {
        let number = match &node.value {
            Value::Integer(Some(number)) => *number as f64,
            Value::Float(Some(number)) if number.is_finite() => *number,
            _ => return Err(self.wrong_value(field, node)),
        };
        self.check_limits(field, node, Kind::Number, number, &node.place)
            .map(|()| number)
    }

    /// A whole number.
    pub fn whole(&self, name: &str) -> Result<u64, Reported> {
        self.need(name, |field, node| self.read_whole(field, node))
    }

    pub fn optional_whole(&self, name: &str) -> Result<Option<u64>, Reported> {
        self.optional(name, |field, node| self.read_whole(field, node))
    }

    fn read_whole(&self, field: &Field, node: &Node) -> Result<u64, Reported> {
        let Value::Integer(Some(number)) = node.value else {
            return Err(self.wrong_value(field, node));
        };
        self.check_limits(field, node, Kind::Number, number as f64, &node.place)?;
        u64::try_from(number).map_err(|_| self.wrong_value(field, node))
    }

    /// Exactly as many quantities as the field says.
    pub fn optional_quantities(&self, name: &str) -> Result<Option<Vec<f64>>, Reported> {
        self.optional(name, |field, node| {
            let FieldKind::Quantities(kind, count) = field.kind else {
                return Err(self.wrong_value(field, node));
            };
            let Value::List(items) = &node.value else {
                return Err(self.wrong_value(field, node));
            };
            let values: Vec<_> = items
                .iter()
                .map(|item| self.read_kind(field, item, kind))
                .collect();
            if items.len() != count {
                let message = format!("`{name}` has {} values, not {count}", items.len());
                let problem = Problem::new("wrong-count", &node.place, message)
                    .found(format!("{} values", items.len()))
                    .expected(field.expected())
                    .fix(fix_line(field));
                return Err(self.report(problem));
            }
            values.into_iter().collect()
        })
    }

    /// Texts of a list, each with its node.
    pub fn optional_texts(&self, name: &str) -> Result<Option<Vec<(String, &'a Node)>>, Reported> {
        let (Some(field), Some(node)) = (self.field(name), self.node(name)) else {
            return Ok(None);
        };
        let Value::List(items) = &node.value else {
            return Err(self.wrong_value(field, node));
        };
        let texts: Vec<_> = items
            .iter()
            .map(|item| self.read_text(field, item).map(|text| (text.to_owned(), item)))
            .collect();
        texts.into_iter().collect::<Result<_, _>>().map(Some)
    }

    /// Words of a list, each one of the field's.
    pub fn optional_choices(&self, name: &str) -> Result<Option<Vec<&'static str>>, Reported> {
        self.optional(name, |field, node| {
            let Value::List(items) = &node.value else {
                return Err(self.wrong_value(field, node));
            };
            let words: Vec<_> = items.iter().map(|item| self.read_choice(field, item)).collect();
            words.into_iter().collect()
        })
    }

    /// Of these fields only the used ones mean something here: another one is a mistake, not a silence.
    pub fn only(&self, of: &[&str], used: &[&str], what: &str) -> Result<(), Reported> {
        let mut result = Ok(());
        for field in of
            .iter()
            .filter(|field| self.given(field) && !used.contains(field))
        {
            let message = format!("`{field}` means nothing for `{what}`");
            let problem =
                Problem::new("field-not-used", self.place_of(field), message).expected("no such field here");
            result = Err(self.report(problem));
        }
        result
    }

    /// The position of the thing a field names.
    pub fn optional_reference(&self, name: &str, names: &Names) -> Result<Option<usize>, Reported> {
        self.optional(name, |field, node| self.read_reference(field, node, names))
    }

    pub fn reference(&self, name: &str, names: &Names) -> Result<usize, Reported> {
        self.optional_reference(name, names)?
            .ok_or_else(|| self.missing_name(name, names))
    }

    /// Positions of the things a field names, none twice.
    pub fn references(&self, name: &str, names: &Names) -> Result<Vec<usize>, Reported> {
        let read = self.optional(name, |field, node| {
            let Value::List(items) = &node.value else {
                return Err(self.wrong_name(field, node, names));
            };
            let mut positions = Vec::new();
            let mut all_read = Ok(());
            for item in items {
                match self.read_reference(field, item, names) {
                    Ok(position) if positions.contains(&position) => {
                        let message = format!("`{name}` names {} twice", names.described(position));
                        all_read = Err(self.report(
                            Problem::new("named-twice", &item.place, message).label("a second time"),
                        ));
                    }
                    Ok(position) => positions.push(position),
                    Err(reported) => all_read = Err(reported),
                }
            }
            all_read.map(|()| positions)
        });
        read?.ok_or_else(|| self.missing_name(name, names))
    }

    /// A value that may be a quantity: `None` if it is a table.
    pub fn quantity_unless_table(&self, name: &str) -> Result<Option<f64>, Reported> {
        match self.node(name) {
            Some(Node {
                value: Value::Table(_),
                ..
            }) => Ok(None),
            _ => self.quantity(name).map(Some),
        }
    }

    fn read_reference(&self, field: &Field, node: &Node, names: &Names) -> Result<usize, Reported> {
        let text = match &node.value {
            Value::Text { text, .. } if !text.trim().is_empty() => text,
            _ => return Err(self.wrong_name(field, node, names)),
        };
        names.find(text).ok_or_else(|| {
            // The thing may be there under a name that another has too: that is reported, and is one mistake.
            if names.twice() {
                return Reported;
            }
            self.report(names.unknown(text, &node.place, field.name))
        })
    }

    fn read_flag(&self, field: &Field, node: &Node) -> Result<bool, Reported> {
        match node.value {
            Value::Flag(flag) => Ok(flag),
            _ => Err(self.wrong_value(field, node)),
        }
    }

    fn read_text<'n>(&self, field: &Field, node: &'n Node) -> Result<&'n str, Reported> {
        match &node.value {
            // It would end up in a terminal, in a command to copy, in a table.
            Value::Text { text, .. } if text.chars().any(char::is_control) => {
                let message = format!("`{}` holds a character that cannot be printed", field.name);
                let problem = Problem::new("control-character", &node.place, message)
                    .label("a line break, tab or other control character")
                    .expected("one line of plain text");
                Err(self.report(problem))
            }
            Value::Text { text, .. } if !text.trim().is_empty() => Ok(text),
            Value::Text { .. } => {
                let problem = Problem::new("empty-text", &node.place, format!("`{}` is empty", field.name))
                    .label("nothing in it")
                    .expected(field.expected())
                    .fix(fix_line(field));
                Err(self.report(problem))
            }
            _ => Err(self.wrong_value(field, node)),
        }
    }

    fn read_choice(&self, field: &Field, node: &Node) -> Result<&'static str, Reported> {
        let words = match field.kind {
            FieldKind::Choice(words) | FieldKind::Choices(words) | FieldKind::ChoiceOrQuantity(words, _) => {
                words
            }
            _ => &[],
        };
        let Value::Text { text, .. } = &node.value else {
            return Err(self.wrong_value(field, node));
        };
        words.iter().copied().find(|word| word == text).ok_or_else(|| {
            let near = nearest(text, words.iter().copied());
            let mut problem = Problem::new(
                "unknown-word",
                &node.place,
                format!("`{}` cannot be `{text}`", field.name),
            )
            .found(text.clone())
            .expected(format!("one of {}", quoted(words)))
            .nearest(near);
            if let Some(near) = near {
                problem = problem.fix(format!("{} = \"{near}\"", field.name));
            }
            self.report(problem)
        })
    }

    fn read_quantity(&self, field: &Field, node: &Node) -> Result<f64, Reported> {
        match field.kind {
            FieldKind::Quantity(kind)
            | FieldKind::QuantityOrTable(kind, _)
            | FieldKind::ChoiceOrQuantity(_, kind) => self.read_kind(field, node, kind),
            _ => Err(self.wrong_value(field, node)),
        }
    }

    fn read_millis(&self, field: &Field, node: &Node) -> Result<Millis, Reported> {
        self.read_quantity(field, node)?;
        self.read_with(field, node, parse_millis)
    }

    fn read_with<T>(
        &self,
        field: &Field,
        node: &Node,
        parse: impl Fn(&str) -> Result<T, QuantityError>,
    ) -> Result<T, Reported> {
        let Value::Text { text, .. } = &node.value else {
            return Err(self.wrong_value(field, node));
        };
        parse(text).map_err(|error| self.report(quantity_problem(field, node, &error)))
    }

    /// A quantity of a kind, within the field's limits.
    pub fn read_kind(&self, field: &Field, node: &Node, kind: Kind) -> Result<f64, Reported> {
        let Value::Text { text, .. } = &node.value else {
            return Err(self.not_a_quantity(field, node, kind));
        };
        match parse(kind, text) {
            Ok(value) => self
                .check_limits(field, node, kind, value, &node.place)
                .map(|()| value),
            Err(error) => Err(self.report(quantity_problem(field, node, &error))),
        }
    }

    fn not_a_quantity(&self, field: &Field, node: &Node, kind: Kind) -> Reported {
        let (Value::Integer(_) | Value::Float(_)) = node.value else {
            return self.wrong_value(field, node);
        };
        let number = node.place.text();
        let message = format!("`{}` is {number} without a unit", field.name);
        let mut problem = Problem::new("no-unit", &node.place, message)
            .label("a bare number")
            .found(number)
            .expected(expected_of(field, kind));
        if number.parse::<f64>().is_ok_and(f64::is_finite) && matches!(field.kind, FieldKind::Quantity(_)) {
            problem = problem.fix(format!(
                "{} = \"{}\"",
                field.name,
                with_a_unit(field, kind, number)
            ));
        }
        self.report(problem)
    }

    /// A value of the wrong sort: a list where a text belongs, a text where a number belongs.
    pub fn wrong_value(&self, field: &Field, node: &Node) -> Reported {
        let problem = wrong_sort(field, node)
            .expected(field.expected())
            .fix(fix_line(field));
        self.report(problem)
    }

    /// A value of the wrong sort where a name of something belongs.
    fn wrong_name(&self, field: &Field, node: &Node, names: &Names) -> Reported {
        self.report(names.advise(wrong_sort(field, node), field, &field.expected()))
    }

    /// The same for a field by name.
    pub fn wrong(&self, name: &str, node: &Node) -> Reported {
        match self.field(name) {
            Some(field) => self.wrong_value(field, node),
            None => Reported,
        }
    }

    fn check_limits(
        &self,
        field: &Field,
        node: &Node,
        kind: Kind,
        value: f64,
        place: &Place,
    ) -> Result<(), Reported> {
        let found = match &node.value {
            Value::Text { text, .. } => text.clone(),
            _ => place.text().to_owned(),
        };
        // A strategy's own parameters bound themselves, all below any such temperature.
        let bounded = field.limits != Limits::ANY;
        let within = field.limits.hold(kind, value);
        if within && !(bounded && could_be_temperature(kind, &found)) {
            return Ok(());
        }
        let problem = if looks_absolute(kind, &found) {
            temperature_for_difference(field.name, &found, place)
        } else {
            Problem::new(
                "out-of-range",
                place,
                format!("`{}` cannot be `{found}`", field.name),
            )
            .label("out of range")
        };
        let single = matches!(field.kind, FieldKind::Quantity(_));
        let fix = without_sign(field, kind, &found).filter(|_| single).map_or_else(
            || fix_line(field),
            |positive| format!("{} = \"{positive}\"", field.name),
        );
        let mut expected = field.expected();
        if within {
            expected.push_str("; in K if a difference is meant");
        }
        Err(self.report(problem.found(found).expected(expected).fix(fix)))
    }
}

fn wrong_sort(field: &Field, node: &Node) -> Problem {
    let message = format!("`{}` cannot be {}", field.name, node.what());
    Problem::new("wrong-value", &node.place, message)
        .label(node.what())
        .found(shortened(node.place.text()))
}

/// A default, as if the file had written it.
fn default_node(field: &Field, default: &str) -> Node {
    let written = match field.kind {
        FieldKind::Number | FieldKind::Whole | FieldKind::Flag | FieldKind::FlagOrTable(_) => {
            default.to_owned()
        }
        _ => format!("\"{default}\""),
    };
    let source: Arc<Source> = Source::new("default", &written);
    crate::node::from_option(&source, 0)
}
