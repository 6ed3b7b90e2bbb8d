//! The equations, one file each.
