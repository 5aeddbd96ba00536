// psychrometrics.mjs - makes tests/fixtures/psychrometrics.csv with the open library psychrolib.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// npm install psychrolib@1.1.1; node psychrometrics.mjs > psychrometrics.csv
// The fixture is committed; this is run again only to make it denser.
import psychrolib from "psychrolib";

psychrolib.SetUnitSystem(psychrolib.SI);
const out = ["# What the open psychrometric library psychrolib 1.1.1 (MIT, npm) answers in SI units; made by " +
             "tests/oracle/psychrometrics.mjs, used by tests/unit/test_moist_air.c.",
             "t_c,rh,p_pa,ratio,dew_c,wet_c,enthalpy_j,volume"];
for (let t = -40; t <= 60; t += 2.5)
  for (const rh of [0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1])
    for (const p of [54020, 70000, 84556, 101325]) {
      const w = psychrolib.GetHumRatioFromRelHum(t, rh, p);
      out.push([t, rh, p, w.toPrecision(10), psychrolib.GetTDewPointFromRelHum(t, rh).toFixed(5),
                psychrolib.GetTWetBulbFromRelHum(t, rh, p).toFixed(5),
                psychrolib.GetMoistAirEnthalpy(t, w).toFixed(3),
                psychrolib.GetMoistAirVolume(t, w, p).toFixed(9)].join(","));
    }
console.log(out.join("\n"));
