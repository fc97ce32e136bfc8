#!/usr/bin/env Rscript
# Reference values for boots, crossings of two factors, and effects of order, from base R and, for the robust standard
# error, the package clubSandwich. Writes session-effects.json beside itself.
#   Rscript test/reference/session-effects.R
suppressPackageStartupMessages({ library(jsonlite); library(clubSandwich) })
set.seed(4711)
file <- sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))
six <- function(x) signif(x, 6)

# Boots: passes within boots within configs, one game; balanced, so that the nested analysis of variance is exact.
boots <- expand.grid(pass = 1:3, boot = 1:4, config = c("stock", "parked"), stringsAsFactors = FALSE)
effect <- rnorm(8, 0, .01)[as.integer(factor(paste(boots$config, boots$boot)))]
boots$avgFps <- six(exp(log(100) + (boots$config == "parked") * .03 + effect + rnorm(nrow(boots), 0, .005)))
boots$y <- log(boots$avgFps)
nested <- summary(aov(y ~ config + Error(factor(paste(config, boot))), boots))
stratum <- nested[["Error: factor(paste(config, boot))"]][[1]]
means <- aggregate(y ~ config + boot, boots, mean)
welch <- t.test(means$y[means$config == "parked"], means$y[means$config == "stock"])

# A crossing: threads on or off, cores all or parked, over five games of three passes.
cross <- expand.grid(pass = 1:3, threads = c("on", "off"), cores = c("all", "parked"), game = paste0("game-", 1:5),
                     stringsAsFactors = FALSE)
g <- as.integer(factor(cross$game))
cross$avgFps <- six(exp(log(80 + 10 * g) - .03 * (cross$threads == "off") - .02 * (cross$cores == "parked") +
                          .015 * (cross$threads == "off" & cross$cores == "parked") + .004 * g * (cross$threads == "off") +
                          rnorm(nrow(cross), 0, .006)))
fits <- sapply(split(cross, cross$game), function(d) {
  # Coded -1/2 and +1/2: coefficients are the main effects and the interaction, the difference of differences.
  d$A <- ifelse(d$threads == "off", .5, -.5); d$B <- ifelse(d$cores == "parked", .5, -.5)
  coef(lm(log(avgFps) ~ A * B, d))[c("A", "B", "A:B")]
})
over <- lapply(1:3, function(i) { t <- t.test(fits[i, ]); list(estimate = unname(t$estimate), low = t$conf.int[1], high = t$conf.int[2], p = t$p.value) })

# Order: the first pass of a cell, and drift by the hour, with cells that differ in noise and a few passes missing.
order <- expand.grid(pass = 1:4, config = c("stock", "parked"), game = paste0("game-", 1:4), stringsAsFactors = FALSE)
cell <- paste(order$game, order$config); k <- as.integer(factor(cell))
order$hours <- round(sample(nrow(order)) / 8 + runif(nrow(order)) / 60, 4)
order$avgFps <- six(exp(log(60 + 5 * k) - .012 * (order$hours) + rnorm(nrow(order), 0, .004 * (1 + k %% 3))))
order <- order[-c(6, 19), ]; cell <- paste(order$game, order$config)
y <- log(order$avgFps)
first <- sapply(split(data.frame(y, h = order$hours), cell), function(d) { d <- d[order(d$h), ]; if (nrow(d) < 3) NA else d$y[1] - mean(d$y[-1]) })
ft <- t.test(first[!is.na(first)])
# The standard error robust to unequal cells with Bell and McCaffrey's scaling and degrees of freedom (2002), on the
# whole model with a mean for each cell.
drift <- data.frame(y, hours = order$hours, cell = factor(cell))
slope <- lm(y ~ 0 + cell + hours, drift)
v <- vcovCR(slope, cluster = drift$cell, type = "CR2")
tested <- coef_test(slope, v, test = "Satterthwaite", coefs = "hours")
b <- unname(coef(slope)["hours"]); se <- sqrt(v["hours", "hours"]); df <- tested$df_Satt; q <- qt(.975, df)

writeLines(toJSON(list(
  about = "Boots, factors and order on natural logarithms", versions = list(R = as.character(getRversion()), clubSandwich = as.character(packageVersion("clubSandwich"))),
  boots = list(passes = boots[, c("config", "boot", "pass", "avgFps")], nestedF = stratum[1, "F value"], nestedP = stratum[1, "Pr(>F)"],
    logDiff = unname(welch$estimate[1] - welch$estimate[2]), t = unname(welch$statistic), df = unname(welch$parameter), p = welch$p.value, low = welch$conf.int[1], high = welch$conf.int[2]),
  factors = list(passes = cross, threads = over[[1]], cores = over[[2]], interaction = over[[3]]),
  order = list(passes = order, firstPass = list(estimate = unname(ft$estimate), low = ft$conf.int[1], high = ft$conf.int[2], p = ft$p.value),
    drift = list(estimate = b, low = b - q * se, high = b + q * se, p = 2 * pt(-abs(b / se), df)))
), auto_unbox = TRUE, digits = I(17), pretty = TRUE), sub("\\.R$", ".json", file))
