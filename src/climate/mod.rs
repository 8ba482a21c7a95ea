//! Wind climatology: the grid, its reader, and the wind's spread in place and season.
