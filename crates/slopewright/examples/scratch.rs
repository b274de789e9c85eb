fn main() {
    let path = std::env::args().nth(1).unwrap();
    let steps: u64 = std::env::args().nth(2).unwrap().parse().unwrap();
    let filter = std::env::args().nth(3).unwrap_or_default();
    let text = std::fs::read_to_string(path).unwrap();
    let (mut hit, mut proved, mut n, mut worst) = (0, 0, 0, 0.0f64);
    for line in text.lines() {
        let d: serde_json::Value = serde_json::from_str(line).unwrap();
        let name = d["name"].as_str().unwrap();
        if !name.contains(&filter) { continue; }
        let cap = d["capacity"].as_u64().unwrap() as usize;
        let items: Vec<(usize, usize)> = d["items"].as_array().unwrap().iter().map(|p| (p[0].as_u64().unwrap() as usize, p[1].as_u64().unwrap() as usize)).collect();
        let opt = d["ub"].as_u64().unwrap();
        let t = std::time::Instant::now();
        let r = slopewright::stock::raw(cap, &items, steps);
        let s = t.elapsed().as_secs_f64();
        let (c, b) = r.unwrap();
        n += 1;
        worst = worst.max(s);
        if c == opt { hit += 1 }
        if c == b { proved += 1 }
        if opt < 1000000 {assert!(b <= opt && c >= opt)};
        println!("{name:24} opt {opt} got {c} bound {b} {} {s:.3}s", if c != b { "<<<<" } else { "" });
    }
    println!("n {n} hit {hit} proved {proved} worst {worst:.2}s");
}
