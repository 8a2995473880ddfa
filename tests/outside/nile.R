# The Nile computed a second time, by R. Arguments: filter_print, tests/reference/nile.csv.
# The flows against datasets::Nile; filtered states, smoothed states and their variances against stats::KalmanRun and KalmanSmooth
# (Harvey 1989; the local level model with the variances of Durbin & Koopman 2001, 15099 and 1469.1) under the same vast prior, variance
# 1e10; and the log-likelihood against the prediction error decomposition written out below. TAP.
args <- commandArgs(trailingOnly = TRUE)
printed <- read.csv(text = system2(args[1], c("nile", args[2]), stdout = TRUE), header = FALSE,
                    col.names = c("year", "flow", "filtered", "filtered_sd", "smoothed", "smoothed_sd", "ln_density"))
model <- list(T = matrix(1), Z = 1, V = matrix(1469.1), h = 15099, a = 0, P = matrix(0), Pn = matrix(1e10))
y <- as.numeric(datasets::Nile)
smoothed <- KalmanSmooth(y, model)

# Kalman filter of a local level, scalar by scalar.
state <- 0; variance <- 1e10; filtered_var <- numeric(100); ln_density <- 0
for (t in 1:100) {
  if (t > 1) variance <- variance + 1469.1
  ln_density <- c(ln_density, tail(ln_density, 1) + dnorm(y[t], state, sqrt(variance + 15099), log = TRUE))
  gain <- variance / (variance + 15099)
  state <- state + gain * (y[t] - state)
  variance <- variance * 15099 / (variance + 15099)
  filtered_var[t] <- variance
}
ln_density <- ln_density[-1]

failed <- FALSE
number <- 0
cat("1..6\n")
judge <- function(what, expected, obtained, tolerance) { # tolerance: relative
  off <- max(abs(obtained - expected) / abs(expected))
  number <<- number + 1
  good <- length(expected) == length(obtained) && is.finite(off) && off <= tolerance
  if (!good) failed <<- TRUE
  cat(sprintf("%s %d - %s: greatest relative difference %.1e, tolerance %.0e\n", if (good) "ok" else "not ok", number, what, off, tolerance))
}
judge("the copy of the series", y, printed$flow, 0)
judge("filtered states (KalmanRun)", as.numeric(KalmanRun(y, model)$states), printed$filtered, 1e-6)
judge("filtered SD", sqrt(filtered_var), printed$filtered_sd, 1e-6)
judge("smoothed states (KalmanSmooth)", as.numeric(smoothed$smooth), printed$smoothed, 1e-6)
judge("smoothed SD", sqrt(as.numeric(smoothed$var)), printed$smoothed_sd, 1e-6)
judge(sprintf("log-likelihood without the first year, %.4f", tail(ln_density, 1) - ln_density[1]), tail(ln_density, 1) - ln_density[1],
      tail(printed$ln_density, 1) - printed$ln_density[1], 1e-8)
quit(status = as.integer(failed))
