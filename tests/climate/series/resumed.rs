//! A run that was ended is gone on from, to the same climate bit for bit; of other winds nothing is kept.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::Duration;

use offing::climate::{
    MeasuredWinds, Region, SeriesError, SourceOptions, Unfinished, WindSeries, measure_winds,
};

use super::writing::SeriesFile;
use crate::noise::Noise;

/// Two years, each day four times, invented.
fn series(seed: u64) -> SeriesFile {
    let steps = 730 * 4;
    let file = SeriesFile::new((0..steps).map(|step| 6.0 * f64::from(step)).collect());
    let nodes = file.nodes();
    let mut noise = Noise(seed);
    let random: Vec<f64> = (0..2 * file.times.len() * nodes)
        .map(|_| 6.0 * noise.gaussian())
        .collect();
    let half = random.len() / 2;
    file.with("u10", |step, node| random[step * nodes + node])
        .with("v10", |step, node| random[half + step * nodes + node])
        .with("si10", |step, _| 8.0 + (step % 9) as f64)
}

/// Measures to `out.nc`, with sums written after every month; ended as if killed once so many steps are read.
fn run(folder: &Path, files: &[PathBuf], end_at: usize) -> Result<MeasuredWinds, SeriesError> {
    let out = folder.join("out.nc");
    let series = WindSeries {
        files: files.to_vec(),
        options: SourceOptions::default(),
        area: Region::world(),
        years: None,
        command: "a test".to_owned(),
        unfinished: Unfinished {
            every: Duration::ZERO,
            ..Unfinished::beside(&out)
        },
    };
    let work = || {
        measure_winds(&series, &out, "out.nc", &mut |progress| {
            assert!(progress.read < end_at, "ended here");
        })
    };
    match catch_unwind(AssertUnwindSafe(work)) {
        Ok(done) => {
            if done.is_ok() {
                series.unfinished.remove().unwrap();
            }
            done
        }
        Err(_) => Err(SeriesError::NoWind),
    }
}

fn said(winds: &MeasuredWinds, words: &str) -> bool {
    winds.notes.iter().any(|note| note.contains(words))
}

fn kept(folder: &Path) -> PathBuf {
    folder.join("out.nc.unfinished")
}

#[test]
fn a_run_that_was_ended_goes_on_to_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let whole = series(5);
    let all: Vec<usize> = (0..whole.times.len()).collect();
    // The second file begins within a month.
    let files = [(0, 1001), (1001, all.len())].map(|(from, to)| {
        whole
            .steps(&all[from..to])
            .write(folder, &format!("{from}.nc"))
    });
    run(folder, &files, usize::MAX).unwrap();
    let at_once = fs::read(folder.join("out.nc")).unwrap();
    assert!(!kept(folder).exists());

    for end_at in [130, 1100, 2000, all.len()] {
        run(folder, &files, end_at).unwrap_err();
        assert!(kept(folder).exists(), "{end_at}");
    }
    // Even what an end within a write leaves is of no harm.
    fs::write(kept(folder).join("999999.sums"), "half").unwrap();
    fs::write(kept(folder).join("list.draft"), "half").unwrap();
    let winds = run(folder, &files, usize::MAX).unwrap();
    assert!(
        said(&winds, "2796 of 2920 steps had been added up"),
        "{:?}",
        winds.notes
    );
    assert!(fs::read(folder.join("out.nc")).unwrap() == at_once);
    assert!(!kept(folder).exists());
}

#[test]
fn sums_of_other_winds_are_not_used() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let file = [series(5).write(folder, "winds.nc")];
    run(folder, &file, 2000).unwrap_err();
    // Another file of the same name.
    fs::remove_file(&file[0]).unwrap();
    series(6).write(folder, "winds.nc");
    let winds = run(folder, &file, usize::MAX).unwrap();
    assert!(said(
        &winds,
        "of other files or another area; they were not used"
    ));
    let after = fs::read(folder.join("out.nc")).unwrap();
    run(folder, &file, usize::MAX).unwrap();
    assert!(fs::read(folder.join("out.nc")).unwrap() == after);
}

#[test]
fn what_is_kept_is_not_trusted_blindly() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    let file = [series(5).write(folder, "winds.nc")];
    run(folder, &file, 2000).unwrap_err();
    for entry in fs::read_dir(kept(folder)).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "sums") {
            let mut bytes = fs::read(&path).unwrap();
            bytes[7] ^= 1;
            fs::write(path, bytes).unwrap();
        }
    }
    let refused = run(folder, &file, usize::MAX).unwrap_err().to_string();
    assert!(
        refused.contains("remove the folder and begin anew"),
        "{refused}"
    );

    let in_use = fs::File::create(kept(folder).join("in-use")).unwrap();
    in_use.lock().unwrap();
    let refused = run(folder, &file, usize::MAX).unwrap_err().to_string();
    assert!(
        refused.contains("another run is at work on the same climate"),
        "{refused}"
    );
}
