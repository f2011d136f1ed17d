"""Salinity, density and oxygen by the TEOS-10 library (Debian's python3-gsw), over a grid."""
import gsw
import line

GSW = f"gsw {gsw.__version__}"
OXYGEN_MG_PER_UMOL = 31.9988e-6


def temperatures():
    return [0, 2.5, 5, 7.5, 10, 12.5, 15, 17.5, 20, 22.5, 25, 27.5, 30, 32.5, 34.9]


def salinity():
    count = 0
    for t90 in temperatures():
        for conductivity in (0.2, 0.5, 1, 2, 3, 4, 6, 10, 15, 20, 25, 30, 35, 40, 45, 50, 55, 60):
            for pressure in (0, 10):
                expected = float(gsw.SP_from_C(conductivity, t90, pressure))
                if not 0.05 < expected <= 42:
                    continue
                quantity = "SP" if expected >= 2 else "SP_low"
                count += 1
                line.line(f"salinity-{count}", quantity,
                          [("C_mScm", conductivity), ("t90", t90), ("p_dbar", pressure)],
                          expected, 1e-9, f"{GSW} SP_from_C")


def density():
    count = 0
    for t90 in temperatures():
        for salinity_absolute in (0, 1, 5, 10, 20, 30, 35, 40):
            for pressure in (0, 10, 100):
                expected = float(gsw.rho_t_exact(salinity_absolute, t90, pressure))
                count += 1
                line.line(f"density-{count}", "rho_TEOS10",
                          [("SA", salinity_absolute), ("t90", t90), ("p_dbar", pressure)],
                          expected, 1e-6, f"{GSW} rho_t_exact")
    for t90 in temperatures():
        for salinity_practical in (0, 5, 10, 20, 30, 35, 40):
            reference = gsw.SR_from_SP(salinity_practical)
            expected = float(gsw.rho_t_exact(reference, t90, 0))
            count += 1
            line.line(f"density at the surface-{count}", "rho_TEOS10_surface",
                      [("SP", salinity_practical), ("t90", t90)], expected, 1e-6,
                      f"{GSW} rho_t_exact(SR_from_SP)")


def oxygen():
    count = 0
    for t90 in temperatures():
        for salinity_practical in (0, 2, 5, 10, 20, 30, 35, 40):
            molal = float(gsw.O2sol_SP_pt(salinity_practical, t90))
            reference = gsw.SR_from_SP(salinity_practical)
            mass = molal * float(gsw.rho_t_exact(reference, t90, 0)) * OXYGEN_MG_PER_UMOL
            count += 1
            line.line(f"oxygen-{count}", "O2sol_umol_kg",
                      [("SP", salinity_practical), ("pt90", t90)], molal, 1e-7,
                      f"{GSW} O2sol_SP_pt")
            line.line(f"oxygen by mass-{count}", "O2sat_mg_L",
                      [("t", t90), ("S", salinity_practical), ("P_atm", 1)], mass, 0.004,
                      f"{GSW} O2sol_SP_pt * rho_t_exact * 31.9988e-6; two equations")


line.header()
salinity()
density()
oxygen()
