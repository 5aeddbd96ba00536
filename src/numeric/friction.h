// friction.h - the friction factor of a round duct, and its slope.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_FRICTION_H
#define BW_NUMERIC_FRICTION_H

struct bw_friction {
    double factor;  // Darcy's f: pressure loss = f (L/D) rho V^2/2
    double slope;   // d ln f / d ln Re
};

// Colebrook (1939), solved to rounding, from Re 4000; 64/Re to 2000; between the two a cubic in
// ln Re that meets both with their slopes. `reynolds` > 0, `roughness` = height over diameter, 0
// to 0.1.
struct bw_friction bw_friction(double reynolds, double roughness);

// For comparison and checks: Churchill (1977), Haaland (1983), Altshul-Tsal as in ASHRAE handbooks.
double bw_friction_churchill(double reynolds, double roughness);
double bw_friction_haaland(double reynolds, double roughness);
double bw_friction_altshul(double reynolds, double roughness);

#endif
