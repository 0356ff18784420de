/* What every public header opens with: which names the shared library shows, and C++. */
#ifndef SIXTURN_API_H
#define SIXTURN_API_H

/* Marks the functions and data that callers may use. The library is built with all others hidden.
 */
#if defined(__GNUC__)
#define SX_API __attribute__((visibility("default")))
#else
#define SX_API
#endif

/* Around the declarations of a header, so that C++ links to them. */
#ifdef __cplusplus
#define SX_C_BEGIN extern "C" {
#define SX_C_END }
#else
#define SX_C_BEGIN
#define SX_C_END
#endif

#endif
