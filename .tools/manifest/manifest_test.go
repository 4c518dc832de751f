// Package manifest holds the example's manifest against Kubernetes' own types. It is here
// for the sake of what they depend on, which is more than the program does.
package manifest

import (
	"os"
	"strings"
	"testing"

	batchv1 "k8s.io/api/batch/v1"
	corev1 "k8s.io/api/core/v1"
	"k8s.io/apimachinery/pkg/util/validation"
	"sigs.k8s.io/json"
	"sigs.k8s.io/yaml"
)

// decode reads a manifest as an API server with strict field validation does: keys that
// are unknown, named twice or in other capitals are errors, and so are wrong types.
func decode(text string) (job batchv1.Job, err error) {
	asJSON, err := yaml.YAMLToJSONStrict([]byte(text))
	if err != nil {
		return job, err
	}
	strict, err := json.UnmarshalStrict(asJSON, &job)
	if err == nil && len(strict) > 0 {
		err = strict[0]
	}
	return job, err
}

func TestExampleJob(t *testing.T) {
	text, err := os.ReadFile("../../examples/presets.job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, err := decode(string(text))
	if err != nil {
		t.Fatal(err)
	}
	if job.APIVersion != batchv1.SchemeGroupVersion.String() || job.Kind != "Job" {
		t.Errorf("it is a %s of %s", job.Kind, job.APIVersion)
	}
	if wrong := validation.IsDNS1123Label(job.Name); len(wrong) > 0 {
		t.Error(job.Name, wrong)
	}
	// What the API demands beyond types (Kubernetes' documentation, "Jobs" and "Indexed
	// Job for Parallel Processing with Static Work Assignment").
	if m := job.Spec.CompletionMode; m == nil || *m != batchv1.IndexedCompletion || *job.Spec.Completions < *job.Spec.Parallelism {
		t.Error("it does not count its pods")
	}
	pod := job.Spec.Template.Spec
	if pod.RestartPolicy != corev1.RestartPolicyNever {
		t.Error("a Job's pods are restarted Never or OnFailure")
	}
	c := pod.Containers[0]
	if got, want := c.Env[0].ValueFrom.FieldRef.FieldPath, "metadata.annotations['"+batchv1.JobCompletionIndexAnnotation+"']"; got != want {
		t.Errorf("the index is taken from %s, not %s", got, want)
	}
	if c.Resources.Requests.Memory().Cmp(*c.Resources.Limits.Memory()) > 0 || c.Resources.Limits.Memory().Value() != 256<<20 {
		t.Error("it is given other memory than it takes at most, 256 MiB", c.Resources)
	}
	if c.VolumeMounts[0].Name != pod.Volumes[0].Name {
		t.Errorf("%s is mounted, and %s is there", c.VolumeMounts[0].Name, pod.Volumes[0].Name)
	}
	for _, misspelt := range []string{"paralelism:", "Parallelism:", "completions: 1\n  parallelism:"} {
		if _, err := decode(strings.Replace(string(text), "parallelism:", misspelt, 1)); err == nil {
			t.Errorf("%q goes unseen", misspelt)
		}
	}
}
