/* The few special functions that rates and their intervals need. Internal. */
#ifndef SIXTURN_ANALYSIS_SPECIAL_H
#define SIXTURN_ANALYSIS_SPECIAL_H

/* log of the gamma function, x > 0, without the C library's global sign. */
double sx_log_gamma(double x);
/* Probability that a beta(a, b) variable is at most x; a, b > 0. */
double sx_beta_below(double a, double b, double x);
/* The x with that probability below it. */
double sx_beta_quantile(double a, double b, double probability);
/* Probability that a chi-square variable with so many degrees of freedom (>= 1) passes x. */
double sx_chi_square_above(double x, int freedom);

#endif
