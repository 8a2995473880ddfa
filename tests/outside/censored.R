# Censored diaries computed a second time, by R's survival package. Argument: filter_print.
# Strength at rest under a prior that says nothing: the same model as censored regression with a fixed scale (survreg, gaussian; its twin,
# lognormal on capacity itself, must give the same). survreg gives the greatest likelihood, the filter the posterior's mean: they differ by
# what the likelihood is skew. That expected difference is computed here (the likelihood that survreg maximises, summed over a lattice) and
# printed. With a prior survreg has no like, and the lattice alone judges.
# Tolerances: the filter takes a set in once, as the normal that stands for it, and cannot come back to it on a later day. That costs up to
# .1 SD of the posterior's mean, and its SD comes out up to 6 % too wide (2 % too narrow); where all sets but one were completed .2 SD and
# 12 % either way; where nothing was known of the heat .25 SD. survreg: the posterior mean's tolerance and the expected difference together. TAP.
suppressPackageStartupMessages(library(survival))
args <- commandArgs(trailingOnly = TRUE)
lines <- strsplit(system2(args[1], "censored", stdout = TRUE), ",")
diary <- vapply(lines, `[`, "", 1)
kind <- vapply(lines, `[`, "", 2)
numbers <- function(line) as.numeric(line[-(1:2)])

ln_likelihood <- function(low, high, center, scale) {
  point <- low == high
  p <- pnorm(high, center, scale) - pnorm(low, center, scale)
  sum(ifelse(point, dnorm(low, center, scale, log = TRUE),
             ifelse(is.finite(high), log(p), pnorm(low, center, scale, lower.tail = FALSE, log.p = TRUE))))
}

# Means and SDs over a lattice of 8 SDs to each side of about where they must be. prior: SDs, means 0.
posterior <- function(low, high, heat, scale, prior, fit) {
  sd <- sqrt(1 / (1 / diag(vcov(fit)) + 1 / prior^2))
  center <- coef(fit) * sd^2 / diag(vcov(fit))
  steps <- seq(-8, 8, length.out = 81)
  lattice <- if (length(center) == 1) cbind(center + sd * steps)
             else as.matrix(expand.grid(center[1] + sd[1] * steps, center[2] + sd[2] * steps))
  ln <- apply(lattice, 1, function(x) ln_likelihood(low, high, x[1] + if (length(x) > 1) x[2] * heat else 0, scale) + sum(dnorm(x, 0, prior, log = TRUE)))
  weight <- exp(ln - max(ln)) / sum(exp(ln - max(ln)))
  mean <- colSums(weight * lattice)
  list(mean = mean, sd = sqrt(colSums(weight * sweep(lattice, 2, mean)^2)))
}

failed <- FALSE
number <- 0
each <- unique(diary)
cat(sprintf("1..%d\n", length(each)))
for (name in each) {
  set <- do.call(rbind, lapply(lines[diary == name & kind == "set"], numbers))
  low <- set[, 1]; high <- set[, 2]; heat <- set[, 3]
  told <- numbers(lines[diary == name & kind == "filter"][[1]])
  scale <- told[1]
  shown <- Surv(ifelse(is.finite(low), low, NA), ifelse(is.finite(high), high, NA), type = "interval2")
  shown_k <- Surv(ifelse(is.finite(low), exp(low), NA), ifelse(is.finite(high), exp(high), NA), type = "interval2")
  rhs <- if (any(heat > 0)) ~ heat else ~ 1
  fit <- survreg(update(rhs, shown ~ .), dist = "gaussian", scale = scale)
  twin <- survreg(update(rhs, shown_k ~ .), dist = "lognormal", scale = scale)
  i <- seq_along(coef(fit))
  exact <- posterior(low, high, heat, scale, told[2:3][i], fit)
  obtained <- told[c(4, 6)[i]]; obtained_sd <- told[c(5, 7)[i]]
  vague <- told[2] > 10
  off <- abs(obtained - exact$mean) / exact$sd
  off_sd <- obtained_sd / exact$sd - 1
  off_fit <- abs(obtained - coef(fit)) / exact$sd
  expected_fit <- abs(exact$mean - coef(fit)) / exact$sd
  twins <- max(abs(coef(fit) - coef(twin)) / exact$sd)
  hard <- sum(is.finite(high)) < 3
  off_max <- if (vague && length(i) == 2) .25 else if (hard) .2 else .1
  good <- all(off < off_max, off_sd < if (hard) .12 else .06, off_sd > if (hard) -.12 else -.02,
              !vague | off_fit < off_max + expected_fit, twins < 1e-3)
  if (!good) failed <- TRUE
  number <- number + 1
  cat(sprintf("%s %d - %s (%d sets, %d later than): off the posterior's mean by %.4f SD, its SD by %+.1f %%, off survreg by %.4f SD where %.4f SD was expected\n",
              if (good) "ok" else "not ok", number, name, nrow(set), sum(!is.finite(high)), max(off), 100 * off_sd[which.max(abs(off_sd))], max(off_fit), max(expected_fit)))
}
quit(status = as.integer(failed))
