// contact.h - what a turning part and a pressing part leave on a panel: pitches, heights, slants.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Pure functions in SI. Arguments must be positive and finite unless said.
#ifndef BW_MACHINE_CONTACT_H
#define BW_MACHINE_CONTACT_H

// Marks of a timed source: feed (m/s) over rate (Hz), in m. Exact.
double bw_pitch_of_rate(double feed, double rate);
// A splice passes belt speed (m/s) over belt length (m) times a second.
double bw_splice_rate(double belt_speed, double belt_length);
// A roll under a belt of the given thickness turns v / (pi (D + t)) times a second: the belt's
// own middle runs at D + t. 0.6 % at 160 mm.
double bw_roll_rate(double belt_speed, double diameter, double belt_thickness);
// Knife or cutter marks: planer feed over (speed times knives that show), m.
double bw_knife_pitch(double feed, double speed, double showing);

// Highest ridge that circles of radius R leave at pitch p: R - sqrt(R^2 - p^2/4), close to
// p^2/(8R). From p = 2R on it is R. Holds where displacement decides: steel drums, planer knives;
// a ceiling under rubber.
double bw_ridge(double pitch, double radius);
// How much of a mark of pitch p passes a pressing part of length c along the feed:
// |sin(pi c/p) / (pi c/p)|; 1 for c = 0. Nil where c is a whole number of pitches.
double bw_contact_share(double contact, double pitch);
// How far a splice mark lags across a panel of width W: p W tan(a) / L, a: the joint's lean from
// square.
double bw_splice_lag(double pitch, double width, double joint_angle, double belt_length);
// The lean of a cross belt's marks from square: atan(feed / belt speed), rad.
double bw_cross_lean(double feed, double belt_speed);
// Two families of marks swell and fade together every 1 / |1/a - 1/b|; INFINITY if equal.
double bw_beat_pitch(double a, double b);

#endif
