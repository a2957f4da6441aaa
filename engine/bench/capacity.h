// Capacity: the torque that a pack or a band carries.
//
// In: dimensions in mm, pressure in bar, forces in N. Out: torque in N m.
// Method. A pack of lined plates carries T = N μ F r, N faces pressed by F. By uniform wear, as in a pack that has run in, r
// is the mean radius (ro + ri)/2; by uniform pressure, as in a new one, 2/3 (ro³ - ri³)/(ro² - ri²), which is
// never less. A band that is pulled at one end with F carries F (e^μθ - 1) r where the drum pulls it tighter
// (energised), and F (1 - e^-μθ) r where it pulls it off. A piston presses with its area times the pressure,
// less its return spring, and where it turns with what its fluid adds.
// Source: Shigley, Mechanical Engineering Design, clutches and band brakes (Euler and Eytelwein's rope) - from
// memory. Cost: none to speak of. Errors: none.
#pragma once

namespace gearwhy {

// A ring between two radii, pressed on by fluid; an inner radius of 0 is a full disc.
double PistonForce(double pressure_bar, double outer_mm, double inner_mm, double spring_n);

// What the fluid behind a turning piston adds by being flung outward: its pressure ρ ω² (r² - r0²)/2, from
// the radius r0 in where its surface stands, over the ring of the piston; nothing inside of r0. Balance dams
// are not reckoned.
// Source: pressure in a rotating fluid, any text of hydrostatics; integrated over the ring, own derivation.
double HeadForce(double rpm, double outer_mm, double inner_mm, double fluid_from_mm);

struct LinedPack {
  int faces = 0;
  double outer_mm = 0, inner_mm = 0;  // of the lining
  double friction = 0;
};
double TorqueByWear(const LinedPack& pack, double force_n);
double TorqueByPressure(const LinedPack& pack, double force_n);

struct LinedBand {
  double radius_mm = 0;  // of the drum
  double wrap = 0;       // the share of a turn that the lining covers
  double friction = 0;
};
double TorqueOfBand(const LinedBand& band, double force_n, bool energised);

}  // namespace gearwhy
