// contact.c - see contact.h.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Method: plane geometry of rolling contact. The ridge between two circles is elementary; the
// share that passes a pressing part is the Fourier transform of a uniform pressure over its
// length, which real pads soften at the edges, so notches are never quite empty. Checked against
// the worked values in data/checks/contact.txt.
#include "machine/contact.h"

#include <math.h>

double bw_pitch_of_rate(double feed, double rate) { return feed / rate; }

double bw_splice_rate(double belt_speed, double belt_length) { return belt_speed / belt_length; }

double bw_roll_rate(double belt_speed, double diameter, double belt_thickness) {
    return belt_speed / (M_PI * (diameter + belt_thickness));
}

double bw_knife_pitch(double feed, double speed, double showing) {
    return feed / (speed * showing);
}

double bw_ridge(double pitch, double radius) {
    double half = pitch / 2;
    if (half >= radius) return radius;
    // Written so that nothing cancels: p^2/4 / (R + sqrt(R^2 - p^2/4)).
    return half * half / (radius + sqrt((radius - half) * (radius + half)));
}

double bw_contact_share(double contact, double pitch) {
    double x = M_PI * contact / pitch;
    return x < 1e-8 ? 1 : fabs(sin(x) / x);
}

double bw_splice_lag(double pitch, double width, double joint_angle, double belt_length) {
    return pitch * width * tan(joint_angle) / belt_length;
}

double bw_cross_lean(double feed, double belt_speed) { return atan(feed / belt_speed); }

double bw_beat_pitch(double a, double b) {
    double difference = fabs(b - a);
    return difference == 0 ? (double)INFINITY : a * b / difference;
}
