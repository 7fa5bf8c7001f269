//! Can these jobs all be done? A job may be laid aside and gone on with, on another sprayer too,
//! so the question is one of a flow: from jobs through the hours they may have to the crews.
//! Hours that are alike for every job and crew are one group, which keeps it small.
//!
//! That such a flow can always be put into times without a clash is the theorem on the
//! preemptive open shop (Gonzalez and Sahni, J. ACM 23, 1976): see `spread`.

use super::problem::{CELL_MIN, Problem};
use std::collections::BTreeMap;

/// Hours in which the same jobs may be done by the same crews.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// The hours, in order.
    pub hours: Vec<usize>,
    /// The jobs that may have them.
    pub jobs: Vec<usize>,
    /// The crews that are there.
    pub crews: Vec<usize>,
}

impl Group {
    /// Minutes of one crew in it.
    pub fn minutes(&self) -> u32 {
        u32::try_from(self.hours.len()).unwrap_or(u32::MAX / CELL_MIN) * CELL_MIN
    }
}

/// The hours of a problem, alike ones together.
pub fn groups(problem: &Problem) -> Vec<Group> {
    let reach = problem
        .jobs
        .iter()
        .map(|j| j.hours.reach())
        .max()
        .unwrap_or(0);
    let mut alike: BTreeMap<(Vec<usize>, Vec<usize>), Vec<usize>> = BTreeMap::new();
    for hour in 0..reach {
        let crews: Vec<usize> = (0..problem.crews.len())
            .filter(|c| problem.crews.get(*c).is_some_and(|c| c.free.has(hour)))
            .collect();
        let jobs: Vec<usize> = (0..problem.jobs.len())
            .filter(|j| {
                problem.jobs.get(*j).is_some_and(|job| {
                    job.hours.has(hour) && job.crews().any(|c| crews.contains(&c))
                })
            })
            .collect();
        if !jobs.is_empty() {
            alike.entry((jobs, crews)).or_default().push(hour);
        }
    }
    let mut groups: Vec<Group> = alike
        .into_iter()
        .map(|((jobs, crews), hours)| Group { hours, jobs, crews })
        .collect();
    groups.sort_by_key(|g| g.hours.first().copied());
    groups
}

#[derive(Debug, Clone, Copy)]
struct Edge {
    to: usize,
    left: u32,
}

/// A network with its greatest flow (Dinic).
#[derive(Debug, Clone, Default)]
struct Network {
    edges: Vec<Edge>,
    at: Vec<Vec<usize>>,
    level: Vec<u32>,
    next: Vec<usize>,
}

impl Network {
    fn node(&mut self) -> usize {
        self.at.push(Vec::new());
        self.at.len() - 1
    }

    fn edge(&mut self, from: usize, to: usize, cap: u32) -> usize {
        let ix = self.edges.len();
        self.edges.push(Edge { to, left: cap });
        self.edges.push(Edge { to: from, left: 0 });
        for (node, edge) in [(from, ix), (to, ix + 1)] {
            if let Some(list) = self.at.get_mut(node) {
                list.push(edge);
            }
        }
        ix
    }

    fn left(&self, edge: usize) -> u32 {
        self.edges.get(edge).map_or(0, |e| e.left)
    }

    fn levels(&mut self, source: usize, sink: usize) -> bool {
        self.level = vec![u32::MAX; self.at.len()];
        self.next = vec![0; self.at.len()];
        let mut queue = std::collections::VecDeque::from([source]);
        if let Some(l) = self.level.get_mut(source) {
            *l = 0;
        }
        while let Some(node) = queue.pop_front() {
            let here = self.level.get(node).copied().unwrap_or(0);
            for edge in self.at.get(node).into_iter().flatten() {
                let Some(e) = self.edges.get(*edge).filter(|e| e.left > 0) else {
                    continue;
                };
                if let Some(l) = self.level.get_mut(e.to).filter(|l| **l == u32::MAX) {
                    *l = here + 1;
                    queue.push_back(e.to);
                }
            }
        }
        self.level.get(sink).is_some_and(|l| *l != u32::MAX)
    }

    fn push(&mut self, node: usize, sink: usize, most: u32) -> u32 {
        if node == sink || most == 0 {
            return most;
        }
        let here = self.level.get(node).copied().unwrap_or(0);
        while let Some(edge) = self
            .next
            .get(node)
            .and_then(|n| self.at.get(node)?.get(*n))
            .copied()
        {
            let e = self.edges.get(edge).copied();
            if let Some(e) = e
                && e.left > 0
                && self.level.get(e.to) == Some(&(here + 1))
            {
                let sent = self.push(e.to, sink, most.min(e.left));
                if sent > 0 {
                    if let Some(e) = self.edges.get_mut(edge) {
                        e.left -= sent;
                    }
                    if let Some(back) = self.edges.get_mut(edge ^ 1) {
                        back.left += sent;
                    }
                    return sent;
                }
            }
            if let Some(n) = self.next.get_mut(node) {
                *n += 1;
            }
        }
        0
    }

    fn flow(&mut self, source: usize, sink: usize) -> u32 {
        let mut sum = 0;
        while self.levels(source, sink) {
            loop {
                let sent = self.push(source, sink, u32::MAX);
                if sent == 0 {
                    break;
                }
                sum += sent;
            }
        }
        sum
    }
}

/// Minutes of a job given to a crew in a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Share {
    /// Which group, by its place.
    pub group: usize,
    /// Which job.
    pub job: usize,
    /// Which crew.
    pub crew: usize,
    /// How long.
    pub minutes: u32,
}

/// The question asked again and again of one problem, its network laid out once. Every job is
/// taken to last equally long with each of its crews.
#[derive(Debug, Clone)]
pub struct Question {
    network: Network,
    source: usize,
    sink: usize,
    /// For each job the edge that lets it in, and how much it wants.
    doors: Vec<(usize, u32)>,
    /// Group, job, crew, and the edge that says how much.
    shares: Vec<(usize, usize, usize, usize)>,
}

impl Question {
    /// Lays it out.
    pub fn new(problem: &Problem, groups: &[Group]) -> Self {
        let mut network = Network::default();
        let (source, sink) = (network.node(), network.node());
        let mut doors = Vec::with_capacity(problem.jobs.len());
        let mut nodes = Vec::with_capacity(problem.jobs.len());
        for job in &problem.jobs {
            let wants = job.even_minutes().unwrap_or(0);
            let node = network.node();
            nodes.push(node);
            doors.push((network.edge(source, node, wants), wants));
        }
        let mut shares = Vec::new();
        for (g, group) in groups.iter().enumerate() {
            let length = group.minutes();
            let crews: Vec<(usize, usize)> = group
                .crews
                .iter()
                .map(|crew| {
                    let node = network.node();
                    network.edge(node, sink, length);
                    (*crew, node)
                })
                .collect();
            for j in &group.jobs {
                let (Some(job), Some(from)) = (problem.jobs.get(*j), nodes.get(*j)) else {
                    continue;
                };
                let here = network.node();
                network.edge(*from, here, length);
                for (crew, node) in &crews {
                    if job.minutes.get(*crew).copied().flatten().is_some() {
                        let edge = network.edge(here, *node, length);
                        shares.push((g, *j, *crew, edge));
                    }
                }
            }
        }
        Self {
            network,
            source,
            sink,
            doors,
            shares,
        }
    }

    fn answered(&self, jobs: &[usize]) -> (Network, u32, u32) {
        let mut network = self.network.clone();
        let mut wanted = 0;
        for (ix, (door, wants)) in self.doors.iter().enumerate() {
            if jobs.contains(&ix) {
                wanted += wants;
            } else if let Some(edge) = network.edges.get_mut(*door) {
                edge.left = 0;
            }
        }
        let done = network.flow(self.source, self.sink);
        (network, wanted, done)
    }

    /// Minutes of these jobs that find no hour.
    pub fn short_min(&self, jobs: &[usize]) -> u32 {
        let (_, wanted, done) = self.answered(jobs);
        wanted - done
    }

    /// Can they all be done?
    pub fn fits(&self, jobs: &[usize]) -> bool {
        self.short_min(jobs) == 0
    }

    /// How much of each goes where, for jobs that all can be done.
    pub fn shares(&self, jobs: &[usize]) -> Vec<Share> {
        let (network, _, _) = self.answered(jobs);
        self.shares
            .iter()
            .map(|(group, job, crew, edge)| Share {
                group: *group,
                job: *job,
                crew: *crew,
                minutes: network.left(edge ^ 1),
            })
            .filter(|s| s.minutes > 0)
            .collect()
    }
}
