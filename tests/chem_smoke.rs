use pourcast::chem::*;
#[test]
fn smoke() {
    let d: serde_json::Value = serde_json::from_str(include_str!("reference/solutions.json")).unwrap();
    let (mut worst, mut wec, mut it, mut n) = (0.0f64, 0.0f64, 0, 0);
    for c in d["cases"].as_array().unwrap() {
        let mut t = Totals::ZERO;
        for (k, v) in c["totals_mmol_per_kgw"].as_object().unwrap() {
            let comp = Component::ALL.into_iter().find(|x| x.name() == k).unwrap();
            t[comp] = v.as_f64().unwrap() / 1e3;
        }
        let temp = c["temperature_C"].as_f64().unwrap();
        let m = Medium::at(temp).unwrap();
        for (mode, carbon) in [("closed", Carbon::Kept), ("open_air", Carbon::Balance { log10_pco2_atm: -3.38 })] {
            let r = &c["phreeqc"][mode];
            let s = m.solve(&t, carbon).unwrap();
            let dp = s.ph() - r["pH"].as_f64().unwrap();
            let k = s.conductivity_us_cm(&m, Mobilities::TableOnly);
            let rk = r["SC_kohlrausch_at_T_uS_cm"].as_f64().unwrap();
            let dk = (k - rk) / rk * 100.0;
            let v = s.volume_l_per_kg(&m) / r["solution_volume_L"].as_f64().unwrap() - 1.0;
            it = it.max(s.iterations()); n += s.iterations();
            if dp.abs() > worst.abs() { worst = dp; println!("pH {} {} {:.4} ours {:.4}", c["id"], mode, dp, s.ph()); }
            if dk.abs() > wec.abs() { wec = dk; println!("EC {} {} {} {:.3}% ref {} vol {:.5}%", c["id"], c["title"], mode, dk, rk, v*100.0); }
            assert!(s.imbalance() < 1e-9, "{}", s.imbalance());
        }
    }
    println!("worst pH {worst} EC {wec}% max iterations {it} mean {}", n as f64 / 518.0);
}
