# Percentiles of R's nine types, geometric means, and Kaplan-Meier means by R's survival, as
# check lines: over numbers drawn with a stated seed, and over the data set `doubs` of ade4
# (Verneaux 1973: 30 places along the river Doubs, eleven measures each).
suppressPackageStartupMessages({
    library(survival)
    library(ade4)
})
set.seed(20260301)

count <- 0
# The family is what a line's id begins with.
put <- function(quantity, inputs, expected, tolerance, source) {
    count <<- count + 1
    family <- if (grepl("doubs", source)) "doubs" else if (quantity == "censored_mean")
        "Kaplan-Meier" else quantity
    cat(sprintf("%s-%d\t%s\t%s\t%.15g\t%g\tL\t%s\t\t\t\n", family, count, quantity, inputs,
        expected, tolerance, source))
}
numbers <- function(x) paste(format(x, digits = 15, trim = TRUE, scientific = FALSE), collapse = ",")
version <- paste("R", getRversion())
slack <- function(x) max(1e-9, abs(x) * 1e-9)

percentiles <- function(x, ps, from) {
    methods <- c(paste0("type", 1:9), "hazen", "weibull", "inclusive", "blom")
    types <- c(1:9, 5, 6, 7, 9)
    for (p in ps) for (i in seq_along(methods)) {
        expected <- quantile(x, p, type = types[i], names = FALSE)
        put("percentile", sprintf("x=%s;p=%s;method=%s", numbers(x), format(p), methods[i]),
            expected, slack(expected), paste0(version, " quantile, ", from))
    }
}

geometric <- function(x, from) {
    expected <- exp(mean(log(x)))
    put("geometric_mean", sprintf("x=%s;method=half", numbers(x)), expected,
        slack(expected), paste0(version, " exp(mean(log)), ", from))
}

# Left-censored values turned round, as Helsel (2005) does: largest becomes smallest.
kaplan_meier <- function(x, censored, from) {
    top <- max(x) + 1
    fit <- survfit(Surv(top - x, !censored) ~ 1)
    shown <- paste0(ifelse(censored, "<", ""), format(x, digits = 15, trim = TRUE))
    inputs <- paste(shown, collapse = ",")
    restricted <- top - summary(fit, rmean = top - min(x))$table["rmean"]
    put("censored_mean", sprintf("x=%s;method=km_restricted", inputs), restricted,
        slack(restricted), paste0("survival ", packageVersion("survival"), " rmean, ", from))
    # The mass that is left below the smallest detect, at that detect.
    drops <- -diff(c(1, fit$surv))
    detects <- top - fit$time
    smallest <- min(x[!censored])
    at_detect <- sum(drops * detects) + (1 - sum(drops)) * smallest
    put("censored_mean", sprintf("x=%s;method=km", inputs), at_detect, slack(at_detect),
        paste0("survival ", packageVersion("survival"), " survfit, ", from))
}

cat("id\tquantity\tinputs\texpected\ttolerance\tkind\tsource\town\tresidual\tstatus\n")
for (n in c(1, 2, 3, 4, 5, 7, 10, 19, 20, 30, 41)) {
    percentiles(round(rlnorm(n, 2, 1), 2), c(0.05, 0.25, 0.5, 0.8, 0.9, 0.95, 0.98), "drawn")
    percentiles(sample(1:6, n, replace = TRUE), c(0.1, 0.5, 0.9), "drawn, with ties")
    geometric(round(rlnorm(n, 2, 1), 2) + 0.01, "drawn")
}
for (round in 1:60) {
    n <- sample(6:40, 1)
    x <- round(rlnorm(n, 2, 1), 1) + 0.1
    limits <- sample(c(3, 5, 10), n, replace = TRUE)
    censored <- x < limits
    x[censored] <- limits[censored]
    if (sum(!censored) >= 3 && mean(censored) <= 0.8) kaplan_meier(x, censored, "drawn")
}
data(doubs)
for (name in names(doubs$env)) {
    x <- doubs$env[[name]]
    percentiles(x, c(0.1, 0.5, 0.9, 0.95), paste("doubs", name))
    if (all(x > 0)) geometric(x, paste("doubs", name))
    put("censored_mean", sprintf("x=%s;method=half", numbers(x)), mean(x), slack(mean(x)),
        paste0(version, " mean, doubs ", name))
}
