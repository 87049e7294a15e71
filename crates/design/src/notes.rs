//! What every answer must say beside its numbers.

/// What the model leaves out.
pub const NOTES: [&str; 8] = [
    "Rigid bodies without play: bushings, frame and rods do not give.",
    "Quasi-static: no forces of inertia, no tyre slip, no ride over bumps.",
    "Flat ground; tyres are undeformed tori that touch it in one point each.",
    "The tie rods are as long as the drawing says, so the static toe is that of the drawing.",
    "Angles of joints count from the drawn pose unless studs, sockets or bolts are given.",
    "Forces: statics of the whole machine per load case; the sideways force is shared by the \
     front wheels in proportion to their loads. Most figures of the shipped load cases are \
     invented; each names its source.",
    "Stub axle: nominal beam stress with published notch factors, a pressed seat among them; \
     threads, corrosion and welds are left out. Rods and wishbone legs: buckling as straight \
     pin-ended columns; what bends a leg is left out.",
    "Wear, and clearances of parts whose sizes the vehicle does not give, are not looked at here.",
];

/// What a tolerance study leaves out besides.
pub const STUDY_NOTES: [&str; 4] = [
    "Errors are independent of one another; a frame that came off its jig twisted errs in many \
     points together.",
    "Radii of wheels and tyres are as drawn, and so is the angle between a stub axle and its \
     knuckle before the toe is set.",
    "Rods are set to the toe of the drawing upright, crank straight, the machine on its wheels.",
    "Percentiles of so few machines have an error of their own, which p95_between states.",
];

/// What a reader must keep in mind before building or riding by these numbers.
pub const CAUTIONS: [&str; 5] = [
    "Geometry alone does not make a machine safe: strength, stability and braking need their own \
     proof by someone who answers for it, and tests with care, slowly, away from traffic.",
    "Steering and suspension parts are safety parts: welds, rod ends and ball joints carry the \
     rider. Use parts with a data sheet and keep to it.",
    "Factors of safety, wheel loads and tipping limits are first figures from typical material \
     values and chosen load cases: parts that carry a rider are designed, tested and signed for \
     by someone licensed to do so where the law asks for it.",
    "Limits marked as common practice have no published source; a data sheet or a standard goes \
     before them.",
    "Local rules on width, brakes, lights and approval, and licensed practice where it is asked \
     for, go before anything said here.",
];
