//! Text as a tree of values that know their places, and the typed readers of
//! that tree.
