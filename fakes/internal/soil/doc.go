// Package soil models the water of a planted bed in one dimension, from the surface down to the base. It is no API: it
// serves fakes/site.
//
// The flow is that of Richards (1931) in mixed form, as Celia, Bouloutas and Zarba (1990) write it: backward Euler in
// time, with Newton's method for the suctions. The water contents are then what has crossed the faces of the cells, so
// that water is conserved to rounding however well the iteration has converged. Steps are as long as their error
// allows, which is half the change of the rates (Kavetski, Binning and Sloan 2001).
//
// At the surface what is supplied enters as long as the soil takes it; what it does not take stands on it to a depth
// and then runs off. Evaporation falls off as the uppermost cell dries to what dry air leaves in it. Roots take up
// water by depth, less where the soil is dry (Feddes, Kowalik and Zaradny 1978). At the base water leaves when the soil
// there is saturated (a seepage face: gravel, fleece or the holes of a trough), or by its weight into the same soil
// below.
//
// What is not modelled: flow sideways (each place of a bed takes what falls on it, and what drip wets gives nothing to
// the soil beside it), cracks and other short cuts,
// hysteresis between wetting and drying, lack of air at the roots, heat and salt.
package soil
