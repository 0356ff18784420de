/* Beta and chi-square distributions. Formulas: NIST Digital Library of Mathematical Functions,
 * 8.17.22 (continued fraction of the incomplete beta function) and 8.8.2 (recurrence of the
 * incomplete gamma function); from memory. */
#include "analysis/special.h"

#include <math.h>

double sx_log_gamma(double x) {
    int sign;
    return lgamma_r(x, &sign);
}

/* The fraction from its far end, terms enough for 15 digits on the side where it is used. */
static double beta_fraction(double a, double b, double x) {
    const int terms = 60 + (int)(5 * sqrt(fmax(a, b)));
    double fraction = 1;
    for (int n = terms; n >= 1; n--) {
        const int m = n / 2;
        const double d = n % 2 ? -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
                               : m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
        fraction = 1 + d / fraction;
    }
    return fraction;
}

double sx_beta_below(double a, double b, double x) {
    if (x <= 0 || x >= 1) {
        return x >= 1;
    }
    const double front =
        exp(sx_log_gamma(a + b) - sx_log_gamma(a) - sx_log_gamma(b) + a * log(x) + b * log1p(-x));
    if (x < (a + 1) / (a + b + 2)) {
        return front / (a * beta_fraction(a, b, x));
    }
    return 1 - front / (b * beta_fraction(b, a, 1 - x));
}

double sx_beta_quantile(double a, double b, double probability) {
    double low = 0, high = 1;
    for (int n = 0; n < 60; n++) { /* halving 60 times leaves nothing a double could show */
        const double middle = (low + high) / 2;
        if (sx_beta_below(a, b, middle) < probability) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return (low + high) / 2;
}

double sx_chi_square_above(double x, int freedom) {
    if (!(x > 0)) {
        return 1;
    }
    if (isinf(x)) {
        return 0;
    }
    const double half = x / 2;
    const int odd = freedom % 2;
    double above = odd ? erfc(sqrt(half)) : exp(-half);
    for (double s = odd ? 0.5 : 1; 2 * s < freedom; s += 1) {
        above += exp(s * log(half) - half - sx_log_gamma(s + 1));
    }
    return fmin(above, 1);
}
