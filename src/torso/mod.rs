//! The torso: elliptical-spline sections lofted over height, and its fit to a sheet.
