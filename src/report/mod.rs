//! Rows to show, and one file for each form they are shown in.
