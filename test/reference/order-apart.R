#!/usr/bin/env Rscript
# Reference values for slow first passes and a drift that are both there, each tested with the other taken off, from base
# R and the package clubSandwich. Writes order-apart.json beside itself.
#   Rscript test/reference/order-apart.R
suppressPackageStartupMessages({ library(jsonlite); library(clubSandwich) })
set.seed(1946)
file <- sub("--file=", "", grep("--file=", commandArgs(), value = TRUE))

passes <- expand.grid(pass = 1:4, config = c("stock", "parked"), game = paste0("game-", 1:4), stringsAsFactors = FALSE)
cell <- factor(paste(passes$game, passes$config)); k <- as.integer(cell)
# Times in an order by chance, multiples of 36 s, so that they are whole milliseconds.
passes$hours <- sample(400, nrow(passes)) / 100
isFirst <- passes$hours == ave(passes$hours, cell, FUN = min)
passes$avgFps <- signif(exp(log(60 + 5 * k) - .03 * isFirst + .02 * passes$hours + rnorm(nrow(passes), 0, .002 * (1 + k %% 3))), 6)
y <- log(passes$avgFps)

# The drift over the later passes alone: a mean for each cell, Bell and McCaffrey's standard error and degrees of freedom.
later <- data.frame(y, hours = passes$hours, cell)[!isFirst, ]
slope <- lm(y ~ 0 + cell + hours, later)
v <- vcovCR(slope, cluster = later$cell, type = "CR2")
b <- unname(coef(slope)["hours"]); vb <- v["hours", "hours"]
dfb <- coef_test(slope, v, test = "Satterthwaite", coefs = "hours")$df_Satt

# First passes against the mean of the later ones, less what the drift makes of their distance in time. The variance is
# the cells' own and, for a slope that all cells share, the slope's; its degrees of freedom are Satterthwaite's (1946).
gap <- function(x) sapply(levels(cell), function(c) x[cell == c & isFirst] - mean(x[cell == c & !isFirst]))
dy <- gap(y) - b * gap(passes$hours); n <- length(dy)
own <- var(dy) / n; lent <- mean(gap(passes$hours))^2 * vb
variance <- own + lent; df <- variance^2 / (own^2 / (n - 1) + lent^2 / dfb)

told <- function(estimate, variance, df) {
  s <- sqrt(variance); q <- qt(.975, df)
  list(estimate = estimate, low = estimate - q * s, high = estimate + q * s, p = 2 * pt(-abs(estimate / s), df))
}
writeLines(toJSON(list(
  about = "Slow first passes and a drift, each with the other taken off, on natural logarithms",
  versions = list(R = as.character(getRversion()), clubSandwich = as.character(packageVersion("clubSandwich"))),
  passes = passes, drift = told(b, vb, dfb), firstPass = told(mean(dy), variance, df)
), auto_unbox = TRUE, digits = I(17), pretty = TRUE), sub("\\.R$", ".json", file))
