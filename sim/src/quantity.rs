//! Kinds of quantity and their units.
