//! Solvents with published constants, for tests.

use crate::catalog::Solvent;

/// A solvent with the constants of trade.md 6; limit and explosive limit as the check values use them.
pub(super) fn solvent(id: &str) -> Solvent {
    let (molar_mass, density, antoine, limit, lel) = match id {
        "acetone" => (58.079, 0.7903, [9.2184, 1197.01, -45.09], Some(250.0), Some(2.5)),
        "ethanol" => (46.068, 0.7894, [10.336_75, 1648.22, -42.232], Some(1000.0), Some(3.1)),
        "2-propanol" => (60.095, 0.7867, [10.242_68, 1580.92, -53.54], Some(200.0), Some(2.0)),
        "toluene" => (92.138, 0.8669, [9.050_43, 1327.62, -55.525], Some(20.0), Some(1.1)),
        "m-xylene" => (106.165, 0.8642, [9.140_51, 1468.703, -57.03], Some(20.0), Some(1.0)),
        "o-xylene" => (106.165, 0.8802, [9.097_89, 1458.706, -61.109], Some(20.0), Some(1.0)),
        "p-xylene" => (106.165, 0.8611, [9.104_94, 1446.832, -58.523], Some(20.0), Some(0.9)),
        "ethyl-acetate" => (88.105, 0.8995, [9.133_61, 1195.13, -60.68], Some(400.0), Some(2.0)),
        "n-butyl-acetate" => (116.158, 0.8809, [9.5, 1596.7, -43.85], Some(50.0), Some(1.2)),
        "heptane" => (100.202, 0.6838, [9.020_23, 1263.909, -56.718], Some(400.0), Some(0.85)),
        "nonane" => (128.255, 0.718, [9.073_56, 1438.03, -70.456], Some(200.0), Some(0.7)),
        "decane" => (142.282, 0.7304, [9.068_53, 1495.17, -79.292], Some(100.0), Some(0.7)),
        "water" => (18.015, 0.9982, [10.115_64, 1687.537, -42.98], None, None),
        other => panic!("{other} is not in the table"),
    };
    Solvent {
        id: id.to_owned(),
        name: id.to_owned(),
        molar_mass,
        density,
        antoine,
        boiling_c: if id == "acetone" { Some(56.07) } else { Some(110.0) },
        flash_c: lel.map(|_| 4.0),
        lower_explosive_percent: lel,
        limit_ppm: limit,
        limit_source: "test".to_owned(),
        source: "test".to_owned(),
    }
}
