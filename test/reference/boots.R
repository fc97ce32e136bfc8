#!/usr/bin/env Rscript
# Reference values for boots as units, and for drift where one cell spans nearly all the time. Base R (aov, t.test),
# lme4 (random intercept of the boot, REML) and clubSandwich (CR2, Satterthwaite). Writes boots.json beside itself.
#   Rscript test/reference/boots.R
suppressPackageStartupMessages({ library(jsonlite); library(lme4); library(clubSandwich) })
set.seed(1986)
file <- sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))
six <- function(x) signif(x, 6)

# Balanced: four passes in each of three boots of each config, one game.
balanced <- expand.grid(pass = 1:4, boot = 1:3, config = c("stock", "parked"), stringsAsFactors = FALSE)
balanced$id <- paste(balanced$config, balanced$boot, sep = "-")
balanced$avgFps <- six(exp(log(90) + .04 * (balanced$config == "parked") + rnorm(6, 0, .01)[as.integer(factor(balanced$id))] + rnorm(24, 0, .004)))
y <- log(balanced$avgFps); balanced$y <- y
balanced$config <- factor(balanced$config, levels = c("stock", "parked"))
nested <- summary(aov(y ~ config + Error(id), balanced))[["Error: id"]][[1]]
mixed <- lmer(y ~ config + (1 | id), balanced, REML = TRUE)
means <- aggregate(y ~ config + id, balanced, mean)
welch <- t.test(means$y[means$config == "parked"], means$y[means$config == "stock"])
stopifnot(!isSingular(mixed))

# Unbalanced: boots of 1 to 4 passes, two against three of them.
sizes <- c("stock-1" = 4, "stock-2" = 1, "stock-3" = 2, "parked-1" = 3, "parked-2" = 2)
unbalanced <- data.frame(id = rep(names(sizes), sizes), pass = sequence(sizes))
unbalanced$config <- sub("-.*", "", unbalanced$id); unbalanced$boot <- as.integer(sub(".*-", "", unbalanced$id))
unbalanced$avgFps <- six(exp(log(70) + rnorm(5, 0, .01)[as.integer(factor(unbalanced$id))] + rnorm(nrow(unbalanced), 0, .005)))
m <- aggregate(log(avgFps) ~ config + id, unbalanced, mean); names(m)[3] <- "y"
uneven <- t.test(m$y[m$config == "parked"], m$y[m$config == "stock"])
as_row <- function(t) list(logDiff = unname(t$estimate[1] - t$estimate[2]), t = unname(t$statistic), df = unname(t$parameter), p = t$p.value, low = t$conf.int[1], high = t$conf.int[2])

# The baseline's two boots with each other, over three games: Welch's variances, summed over games (statistics of
# exactly these games; Satterthwaite 1946).
twice <- expand.grid(pass = 1:3, boot = c("boot-1", "boot-2"), game = c("a", "b", "c"), stringsAsFactors = FALSE)
twice$avgFps <- six(exp(log(60) + .02 * (twice$boot == "boot-2") + rnorm(18, 0, .005)))
parts <- sapply(split(twice, twice$game), function(d) {
  a <- log(d$avgFps[d$boot == "boot-1"]); b <- log(d$avgFps[d$boot == "boot-2"]); v <- var(a) / 3 + var(b) / 3
  c(d = mean(b) - mean(a), v = v, f = v^2 / ((var(a) / 3)^2 / 2 + (var(b) / 3)^2 / 2))
})
se <- sqrt(sum(parts["v", ])) / 3; df <- sum(parts["v", ])^2 / sum(parts["v", ]^2 / parts["f", ]); d <- mean(parts["d", ])

# Drift: eight cells captured one after another, three minutes a pass, the last pass of one cell an hour after the rest.
late <- expand.grid(pass = 1:3, game = paste0("game-", 1:4), config = c("stock", "parked"), stringsAsFactors = FALSE)
late$hours <- .05 * (seq_len(nrow(late)) - 1); late$hours[3] <- 2.5
late$avgFps <- six(exp(log(80) + rnorm(nrow(late), 0, .006)))
cell <- factor(paste(late$game, late$config))
fit <- lm(log(avgFps) ~ 0 + cell + hours, late)
robust <- vcovCR(fit, cluster = cell, type = "CR2")
s <- sqrt(robust["hours", "hours"]); f <- coef_test(fit, robust, test = "Satterthwaite", coefs = "hours")$df_Satt; b <- unname(coef(fit)["hours"])

writeLines(toJSON(list(
  about = "Boots as units and unbalanced drift, on natural logarithms",
  versions = list(R = as.character(getRversion()), lme4 = as.character(packageVersion("lme4")), clubSandwich = as.character(packageVersion("clubSandwich"))),
  balanced = c(list(passes = balanced[, c("config", "boot", "pass", "avgFps")], nestedF = nested[1, "F value"], nestedP = nested[1, "Pr(>F)"],
    mixedEstimate = unname(fixef(mixed)[2]), mixedSe = unname(sqrt(vcov(mixed)[2, 2]))), as_row(welch)),
  unbalanced = c(list(passes = unbalanced[, c("config", "boot", "pass", "avgFps")]), as_row(uneven)),
  baseline = list(passes = twice, estimate = d, low = d - qt(.975, df) * se, high = d + qt(.975, df) * se),
  late = list(passes = late, estimate = b, low = b - qt(.975, f) * s, high = b + qt(.975, f) * s, df = f, p = 2 * pt(-abs(b / s), f))
), auto_unbox = TRUE, digits = I(17), pretty = TRUE), sub("\\.R$", ".json", file))
