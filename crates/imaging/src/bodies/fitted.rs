const FIRST: Regression<ALONE> = Regression {
    level: 0.0,
    mean: [0.0; ALONE],
    spread: [1.0; ALONE],
    linear: [0.0; ALONE],
    square: [0.0; ALONE],
};
const SECOND: Regression<TOGETHER> = Regression {
    level: 0.0,
    mean: [0.0; TOGETHER],
    spread: [1.0; TOGETHER],
    linear: [0.0; TOGETHER],
    square: [0.0; TOGETHER],
};
