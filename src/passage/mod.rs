//! Where wind, boat and route meet: the voyage file and the walk along a route.
